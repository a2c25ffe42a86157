// flock() and not a process number: numbers come round again, and the system lets a lock go with its program.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "file_lock.h"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>

namespace aplomb::viewer {

std::optional<FileLock> FileLock::take(const std::filesystem::path& file) {
  FileLock lock(::open(file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600));
  if (lock.handle_ < 0) return std::nullopt;
  // Where a file system knows no locks nobody can be told to be there.
  if (::flock(lock.handle_, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK) return std::nullopt;
  return lock;
}

FileLock::~FileLock() {
  if (handle_ >= 0) ::close(handle_);
}

}  // namespace aplomb::viewer
