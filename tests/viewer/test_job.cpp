// Work on a thread of its own: what it throws, how it is cancelled.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <stdexcept>
#include <thread>

#include "viewer/job.h"

using namespace aplomb;
using namespace aplomb::viewer;

namespace {

template <class T>
io::Result<T> result_of(Job<T>& job) {
  while (!job.ended()) std::this_thread::sleep_for(std::chrono::milliseconds(1));
  return job.take();
}

}  // namespace

TEST_CASE("what work throws is an error in one line", "[job]") {
  Job<int> job("", {}, [](const io::Progress&) -> io::Result<int> { throw std::runtime_error("a fault"); });
  const auto made = result_of(job);
  REQUIRE_FALSE(made);
  CHECK(io::to_line(made.error()).find("the program failed: a fault") != std::string::npos);
  Job<int> large("", {}, [](const io::Progress&) -> io::Result<int> { throw std::bad_alloc(); });
  CHECK(result_of(large).error().message == "there is not enough memory");
}

TEST_CASE("work is told to stop, and says how far it is", "[job]") {
  std::atomic<int> woken{0};
  Job<int> job(
      "beginning", [&] { ++woken; },
      [](const io::Progress& progress) -> io::Result<int> {
        progress(0.5, "half");
        while (!progress.cancelled()) std::this_thread::sleep_for(std::chrono::milliseconds(1));
        return 7;
      });
  while (job.so_far().fraction < 0.5) std::this_thread::sleep_for(std::chrono::milliseconds(1));
  CHECK(job.so_far().what == "half");
  CHECK_FALSE(job.ended());
  CHECK_FALSE(job.cancelled());
  job.cancel();
  CHECK(job.cancelled());
  CHECK(result_of(job).value() == 7);
  CHECK(woken >= 2);
}
