// The solver's thread under ThreadSanitizer: the screen wants, takes, cancels and looks while it solves. The solving is
// stood in for by a loop that reports and can be stopped, as the real one does, because what is watched here are the
// lock and what it guards; the real solver's answers are tested in test_solver_thread.cpp. A race makes the program
// exit with 66.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <chrono>
#include <set>
#include <stdexcept>
#include <thread>

#include "viewer/solver_thread.h"

namespace aplomb::viewer {

std::string request_key(const Request& request) {
  return request.choice.foot.file + (request.care == Care::quick ? " quick" : " full");
}

Solver::Solver(Library library) : library_(std::move(library)) {}

Solved Solver::solve(const Request& request, const io::Progress& progress) {
  Solved out;
  out.key = request_key(request);
  if (request.choice.foot.file == "faulty") throw std::runtime_error("a fault");
  for (int i = 0; i < 20; ++i) {
    if (progress.cancelled()) {
      out.error = io::Error{.kind = io::ErrorKind::cancelled, .message = "stopped", .remedy = "again"};
      return out;
    }
    progress(i / 20.0, "turning round");
    std::this_thread::sleep_for(std::chrono::microseconds(100));
  }
  return out;
}

}  // namespace aplomb::viewer

using namespace aplomb::viewer;

namespace {

Request request(int number, Care care = Care::full) {
  Request one;
  one.choice.foot.file = std::to_string(number);
  one.care = care;
  return one;
}

}  // namespace

TEST_CASE("a screen that wants, takes and cancels races with nothing", "[solver_race]") {
  std::atomic<int> woken{0};
  std::set<std::string> answered;
  {
    SolverThread thread({}, [&] { ++woken; });
    const auto take = [&] {
      for (const auto& answer : thread.take()) answered.insert(answer->key);
    };
    // By the clock, not by rounds: the solver's thread goes behind others, and the machine may be busy.
    const auto end = std::chrono::steady_clock::now() + std::chrono::seconds(60);
    for (int i = 0; std::chrono::steady_clock::now() < end && (i < 400 || answered.size() < 20); ++i) {
      thread.want({request(i, i % 3 == 0 ? Care::quick : Care::full), request(i + 1), request(i + 2)});
      if (i % 7 == 0) thread.cancel();
      const Work work = thread.work();
      CHECK(work.fraction <= 1);
      (void)thread.idle();
      take();
      if (i % 4 == 0) std::this_thread::sleep_for(std::chrono::milliseconds(2));
    }
    thread.want({request(1000)});
    for (int i = 0; i < 30000 && !answered.contains("1000 full"); ++i) {
      take();
      std::this_thread::sleep_for(std::chrono::milliseconds(1));
    }
    CHECK(answered.contains("1000 full"));
    thread.want({request(2000), request(2001)});  // gone in the middle of it
  }
  CHECK(answered.size() >= 20);  // the rest was cancelled on its way
  CHECK(woken > 10);
}

TEST_CASE("what the solver throws is an answer with an error, and the next is solved", "[solver_race]") {
  SolverThread thread({}, {});
  Request faulty = request(0);
  faulty.choice.foot.file = "faulty";
  faulty.position = aplomb::stance::Position::on_box;
  thread.want({faulty, request(1)});
  std::vector<std::shared_ptr<const Solved>> answers;
  for (int i = 0; i < 30000 && answers.size() < 2; ++i) {
    for (auto& answer : thread.take()) answers.push_back(std::move(answer));
    std::this_thread::sleep_for(std::chrono::milliseconds(1));
  }
  REQUIRE(answers.size() == 2);
  CHECK(answers[0]->key == request_key(faulty));
  CHECK(answers[0]->position == faulty.position);
  REQUIRE(answers[0]->error);
  CHECK(answers[0]->error->message == "the program failed: a fault");
  CHECK(answers[1]->key == request_key(request(1)));
  CHECK_FALSE(answers[1]->error);
}
