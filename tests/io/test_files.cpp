// Reading refuses what is no file; writing is all or nothing; hashes match the published test values.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>

#include "aplomb/io/files.h"

using namespace aplomb::io;
namespace fs = std::filesystem;

namespace {

/// A folder of its own for one test, removed afterwards.
struct Folder {
  fs::path path;
  Folder() {
    std::string name = (fs::temp_directory_path() / "aplomb.XXXXXX").string();
    path = ::mkdtemp(name.data());
  }
  ~Folder() { fs::remove_all(path); }
  std::size_t entries() const { return static_cast<std::size_t>(std::distance(fs::directory_iterator(path), {})); }
};

std::string refusal(const fs::path& file) {
  const auto text = read_file(file, "--foot");
  return text ? "read" : text.error().message;
}

}  // namespace

TEST_CASE("Reading refuses what is no readable file", "[io][files]") {
  const Folder folder;
  CHECK(refusal(folder.path / "none") == "there is no such file");
  CHECK(refusal(folder.path) == "is a directory");
  CHECK(refusal("") == "the file name is empty");
  std::ofstream(folder.path / "empty");
  CHECK(refusal(folder.path / "empty") == "the file is empty");
  REQUIRE(::mkfifo((folder.path / "pipe").c_str(), 0600) == 0);
  CHECK(refusal(folder.path / "pipe") == "is not a regular file");
  std::ofstream(folder.path / "big").seekp(static_cast<std::streamoff>(max_text_bytes)).put('x');
  CHECK(refusal(folder.path / "big") == "has 4194305 bytes, more than the 4194304 allowed");
  std::ofstream(folder.path / "secret") << "x";
  fs::permissions(folder.path / "secret", fs::perms::none);
  // The administrator may read everything, so there is nothing to refuse then.
  CHECK(refusal(folder.path / "secret") == (::geteuid() == 0 ? "read" : "cannot be read (Permission denied)"));
}

TEST_CASE("Writing replaces a file whole and leaves nothing else", "[io][files]") {
  const Folder folder;
  const fs::path file = folder.path / "answer.json";
  REQUIRE(write_file(file, "one"));
  REQUIRE(write_file(file, std::string("t\0wo", 4)));
  CHECK(read_file(file).value() == std::string("t\0wo", 4));
  CHECK(folder.entries() == 1);
  const mode_t mask = ::umask(0);
  ::umask(mask);
  CHECK((static_cast<unsigned>(fs::status(file).permissions()) & 0777u) == (0666u & ~mask));
}

TEST_CASE("A write that cannot be done says so and leaves nothing", "[io][files]") {
  const Folder folder;
  for (const fs::path& file : {folder.path / "no" / "a.json", folder.path, fs::path("")}) {
    const auto written = write_file(file, "x");
    REQUIRE_FALSE(written);
    CHECK(written.error().kind == ErrorKind::cannot_write);
  }
  // A rename onto a folder that appeared meanwhile fails; the temporary file goes away.
  const auto temporary = temporary_beside(folder.path / "late.png").value();
  CHECK(temporary.extension() == ".png");
  fs::create_directories(folder.path / "late.png" / "inside");
  CHECK_FALSE(commit_file(temporary, folder.path / "late.png"));
  CHECK_FALSE(fs::exists(temporary));
  CHECK(folder.entries() == 1);
  // A full disk: this device accepts the open and refuses every byte.
  if (fs::exists("/dev/full")) {
    fs::create_symlink("/dev/full", folder.path / "full");
    CHECK_FALSE(commit_file(folder.path / "full", folder.path / "a.json"));
  }
}

TEST_CASE("Content hash is FNV-1a 64", "[io][files]") {
  // Test vectors of IETF draft-eastlake-fnv, section "FNV-1a 64-bit".
  CHECK(content_hash("") == "cbf29ce484222325");
  CHECK(content_hash("a") == "af63dc4c8601ec8c");
  CHECK(content_hash("foobar") == "85944171f73967e8");
}
