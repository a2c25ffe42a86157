// The solver's thread gives the answers that the command line gives, stops when asked, and forgets what nobody wants.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <atomic>
#include <catch2/catch.hpp>
#include <chrono>
#include <thread>

#include "aplomb/findings/assess.h"
#include "aplomb/foot/foot_file.h"
#include "aplomb/io/files.h"
#include "aplomb/shoe/shoe.h"
#include "patience.h"
#include "viewer/solver_thread.h"

using namespace aplomb;
using namespace aplomb::viewer;

namespace {

const std::filesystem::path meshes = std::filesystem::path(APLOMB_SOURCE_DIR) / "meshes";

Library library() {
  auto loaded = load_library(meshes, {}, "test");
  REQUIRE(loaded);
  return *loaded;
}

Choice sample() {
  const auto source = [](const std::filesystem::path& file) {
    return Source{file.string(), io::read_file(file).value()};
  };
  return {source(meshes / "feet/sample.toml"), source(meshes / "shoes/tapered.toml")};
}

/// Waits for the next answers, at most a minute.
std::vector<std::shared_ptr<const Solved>> wait(SolverThread& thread) {
  for (int i = 0; i < 6000 * test::patience; ++i) {
    if (auto answers = thread.take(); !answers.empty()) return answers;
    std::this_thread::sleep_for(std::chrono::milliseconds(10));
  }
  return {};
}

}  // namespace

TEST_CASE("a full answer has the bits of the command line's", "[solver_thread]") {
  std::atomic<int> woken{0};
  SolverThread thread(library(), [&] { ++woken; });
  const Request request{sample(), stance::Position::on_box};
  thread.want({request});
  const auto answers = wait(thread);
  REQUIRE(answers.size() == 1);
  CHECK(woken > 0);
  const Solved& solved = *answers.front();
  CHECK(solved.key == request_key(request));
  REQUIRE_FALSE(solved.error);
  REQUIRE(solved.findings.converged);
  REQUIRE(solved.frames.size() == 1);
  CHECK(solved.frames.front().scene.bones.size() > 24);

  const auto foot = std::make_shared<const foot::Foot>(foot::load_foot(meshes / "feet/sample.toml", meshes).value());
  const auto shoe = std::make_shared<const shoe::Shoe>(
      shoe::make_shoe(shoe::read_shoe(meshes / "shoes/tapered.toml").value()).value());
  stance::StandOptions options;
  options.position = stance::Position::on_box;
  const findings::Findings alone = findings::assess(stance::stand(foot, shoe, options).value());
  CHECK(solved.findings.depth_mm == alone.depth_mm);
  CHECK(solved.findings.heel_slack_mm == alone.heel_slack_mm);
}

TEST_CASE("a number that cannot be is an answer with an error", "[solver_thread]") {
  Solver solver(library());
  Request request{sample(), stance::Position::on_box};
  request.choice.shoe.changes["platform_breadth_mm"] = 80;
  const Solved solved = solver.solve(request, {});
  REQUIRE(solved.error);
  CHECK(solved.error->field == "platform_breadth_mm");
  CHECK_FALSE(solved.shown());
}

TEST_CASE("wanting something else stops a full solve, cancelling forgets everything", "[solver_thread]") {
  SolverThread thread(library(), [] {});
  const auto start = std::chrono::steady_clock::now();
  Request slow{sample(), stance::Position::roll_down}, quick{sample(), stance::Position::on_box};
  thread.want({slow});
  while (!thread.work().busy) std::this_thread::sleep_for(std::chrono::milliseconds(1));
  thread.want({quick});
  const auto answers = wait(thread);
  REQUIRE(answers.size() == 1);
  CHECK(answers.front()->position == stance::Position::on_box);
  thread.want({slow});
  while (!thread.work().busy) std::this_thread::sleep_for(std::chrono::milliseconds(1));
  thread.cancel();
  while (!thread.idle()) std::this_thread::sleep_for(std::chrono::milliseconds(1));
  CHECK(thread.take().empty());
  CHECK(std::chrono::steady_clock::now() - start < test::patience * std::chrono::seconds(60));
}
