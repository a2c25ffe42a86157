// Whole-file reading, all-or-nothing writing, content hashes.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/io/files.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdint>
#include <cstring>
#include <vector>

namespace aplomb::io {

namespace fs = std::filesystem;

namespace {

/// Closes on scope exit; fclose-style checks are not needed because every write is checked and flushed by hand.
struct Descriptor {
  int fd = -1;
  explicit Descriptor(int opened) : fd(opened) {}
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  ~Descriptor() {
    if (fd >= 0) ::close(fd);
  }
};

Error write_error(const fs::path& file, const std::string& message) {
  return {.kind = ErrorKind::cannot_write,
          .file = file.string(),
          .message = message,
          .remedy = "choose a folder that exists and that you may write to"};
}

}  // namespace

Result<std::string> read_file(const fs::path& file, std::string_view field, std::size_t max_bytes) {
  const auto refuse = [&](const std::string& message, const std::string& remedy) {
    return fail({.file = file.string(), .field = std::string(field), .message = message, .remedy = remedy});
  };
  if (file.empty()) return refuse("the file name is empty", "give the name of a file");
  // O_NONBLOCK: opening a pipe must not hang before fstat() can refuse it.
  const Descriptor in(::open(file.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK));
  if (in.fd < 0) {
    if (errno == ENOENT) return refuse("there is no such file", "check the spelling and the folder");
    return refuse(fmt::format("cannot be read ({})", std::strerror(errno)), "give yourself permission to read it");
  }
  struct stat status {};
  if (::fstat(in.fd, &status) != 0) return refuse(std::strerror(errno), "check the disk");
  if (S_ISDIR(status.st_mode)) return refuse("is a directory", "name a file inside it");
  if (!S_ISREG(status.st_mode)) return refuse("is not a regular file", "copy its content into a file");
  const auto size = static_cast<std::size_t>(status.st_size);
  if (size > max_bytes)
    return refuse(fmt::format("has {} bytes, more than the {} allowed", size, max_bytes),
                  "check that it is the right file");
  std::string text(size, '\0');
  std::size_t done = 0;
  while (done < size) {
    const ssize_t got = ::read(in.fd, text.data() + done, size - done);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return refuse(fmt::format("cannot be read ({})", std::strerror(errno)), "check the disk");
    if (got == 0) break;
    done += static_cast<std::size_t>(got);
  }
  text.resize(done);
  if (text.empty()) return refuse("the file is empty", "check that it was saved");
  return text;
}

Result<fs::path> temporary_beside(const fs::path& file) {
  std::error_code code;
  if (file.empty() || file.filename().empty()) return fail(write_error(file, "the file name is empty"));
  if (fs::is_directory(file, code)) return fail(write_error(file, "is a directory"));
  // The rename would put a file in the place of a device or pipe.
  if (fs::exists(file, code) && !fs::is_regular_file(file, code)) return fail(write_error(file, "is no regular file"));
  const fs::path folder = file.has_parent_path() ? file.parent_path() : fs::path(".");
  if (!fs::is_directory(folder, code)) return fail(write_error(file, "its folder does not exist"));
  // The extension is kept at the end: picture and mesh libraries choose their format by it.
  const std::string pattern =
      (folder / fmt::format(".{}.XXXXXX{}", file.stem().string(), file.extension().string())).string();
  std::vector<char> name(pattern.begin(), pattern.end());
  name.push_back('\0');
  const Descriptor made(::mkostemps(name.data(), static_cast<int>(file.extension().string().size()), O_CLOEXEC));
  if (made.fd < 0) return fail(write_error(file, fmt::format("cannot be written ({})", std::strerror(errno))));
  // mkostemps makes a private file; the result gets the rights that any new file of this user gets.
  const mode_t mask = ::umask(0);
  ::umask(mask);
  ::fchmod(made.fd, 0666 & ~mask);
  return fs::path(name.data());
}

Result<void> commit_file(const fs::path& temporary, const fs::path& file) {
  const auto give_up = [&](const std::string& why) -> Result<void> {
    discard_file(temporary);
    return fail(write_error(file, fmt::format("cannot be written ({})", why)));
  };
  {
    const Descriptor out(::open(temporary.c_str(), O_RDWR | O_CLOEXEC));
    if (out.fd < 0 || ::fsync(out.fd) != 0) return give_up(std::strerror(errno));
  }
  if (::rename(temporary.c_str(), file.c_str()) != 0) return give_up(std::strerror(errno));
  return {};
}

void discard_file(const fs::path& temporary) {
  std::error_code code;
  fs::remove(temporary, code);
}

Result<void> write_file(const fs::path& file, std::string_view content) {
  const auto temporary = temporary_beside(file);
  if (!temporary) return tl::unexpected(temporary.error());
  {
    const Descriptor out(::open(temporary->c_str(), O_WRONLY | O_CLOEXEC));
    std::size_t done = 0;
    while (out.fd >= 0 && done < content.size()) {
      const ssize_t put = ::write(out.fd, content.data() + done, content.size() - done);
      if (put < 0 && errno == EINTR) continue;
      if (put < 0) break;
      done += static_cast<std::size_t>(put);
    }
    if (out.fd < 0 || done < content.size()) {
      const std::string why = std::strerror(errno);
      discard_file(*temporary);
      return fail(write_error(file, fmt::format("cannot be written ({})", why)));
    }
  }
  return commit_file(*temporary, file);
}

std::string content_hash(std::string_view content) {
  std::uint64_t hash = 0xcbf29ce484222325u;
  for (const char c : content) {
    hash ^= static_cast<unsigned char>(c);
    hash *= 0x100000001b3u;
  }
  return fmt::format("{:016x}", hash);
}

}  // namespace aplomb::io
