// Which answers are kept while a number is dragged to and fro.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "viewer/answers.h"

using namespace aplomb::viewer;

namespace {

std::shared_ptr<const Solved> answer(const std::string& choice, Care care, const std::string& what = "") {
  auto solved = std::make_shared<Solved>();
  solved->choice = choice;
  solved->care = care;
  solved->key = choice + what + (care == Care::quick ? " quick" : " full");
  return solved;
}

}  // namespace

TEST_CASE("a drag drives out its own quick answers, never a full one", "[answers]") {
  Answers answers;
  for (const char* choice : {"other seat", "before"}) answers.add(answer(choice, Care::full));
  for (int i = 0; i < 200; ++i) {
    answers.add(answer(std::to_string(i), Care::quick));
    answers.trim({});
  }
  CHECK(answers.find("other seat full"));
  CHECK(answers.find("before full"));
  CHECK_FALSE(answers.find("0 quick"));
  CHECK(answers.find("199 quick"));
}

TEST_CASE("the oldest full answers go, those that are held do not", "[answers]") {
  Answers answers;
  answers.add(answer("shown", Care::full, " parallel"));
  answers.add(answer("shown", Care::full, " on-box"));
  for (int i = 0; i < 100; ++i) {
    answers.add(answer(std::to_string(i), Care::full));
    answers.trim({"shown"});
  }
  CHECK(answers.find("shown parallel full"));
  CHECK(answers.find("shown on-box full"));
  CHECK_FALSE(answers.find("0 full"));
  CHECK_FALSE(answers.find("50 full"));
  CHECK(answers.find("99 full"));
  CHECK(answers.find(std::to_string(102 - Answers::full_kept) + " full"));
  answers.trim({});
  CHECK(answers.find("shown parallel full"));  // as many as are kept anyway
  answers.add(answer("one more", Care::full));
  answers.trim({});
  CHECK_FALSE(answers.find("shown parallel full"));
}

TEST_CASE("an answer takes the place of one with its key", "[answers]") {
  Answers answers;
  const auto first = answer("a", Care::full), second = answer("a", Care::full);
  answers.add(first);
  answers.add(second);
  CHECK(answers.find("a full") == second);
}
