// Whether the program that made a file still runs: it holds a lock for as long as it does, however it ends.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <optional>
#include <utility>

namespace aplomb::viewer {

class FileLock {
 public:
  /// Makes the file where it is not there. Nothing when another program, or another lock of this one, holds it.
  static std::optional<FileLock> take(const std::filesystem::path& file);

  FileLock(FileLock&& other) noexcept : handle_(std::exchange(other.handle_, -1)) {}
  FileLock& operator=(FileLock&& other) noexcept {
    std::swap(handle_, other.handle_);
    return *this;
  }
  ~FileLock();

 private:
  explicit FileLock(int handle) : handle_(handle) {}
  int handle_;
};

}  // namespace aplomb::viewer
