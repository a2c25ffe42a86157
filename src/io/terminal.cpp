// Log, progress line and interrupt of the command line.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/io/terminal.h"

#include <fmt/format.h>
#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdio>
#include <memory>
#include <mutex>

namespace aplomb::io {

namespace {

std::atomic<bool> interrupted{false};
static_assert(std::atomic<bool>::is_always_lock_free, "a signal handler may only touch lock-free atomics");
bool line_shown = false;

extern "C" void on_interrupt(int) {
  interrupted.store(true, std::memory_order_relaxed);
  std::signal(SIGINT, SIG_DFL);
}

}  // namespace

void start_log(int verbosity) {
  auto logger = std::make_shared<spdlog::logger>("aplomb", std::make_shared<spdlog::sinks::stderr_sink_mt>());
  logger->set_pattern("%l: %v");
  logger->set_level(verbosity <= 0 ? spdlog::level::warn : verbosity == 1 ? spdlog::level::info : spdlog::level::trace);
  spdlog::set_default_logger(std::move(logger));
}

const std::atomic<bool>* cancel_on_interrupt() {
  std::signal(SIGINT, on_interrupt);
  return &interrupted;
}

Progress terminal_progress(const std::atomic<bool>* cancel) {
  Progress progress;
  progress.cancel = cancel;
  if (::isatty(STDERR_FILENO) == 0) return progress;
  using clock = std::chrono::steady_clock;
  struct State {
    std::mutex mutex;
    clock::time_point drawn{};
  };
  // Work may report from several threads at once.
  progress.report = [state = std::make_shared<State>()](double fraction, std::string_view what) {
    const std::lock_guard lock(state->mutex);
    const auto now = clock::now();
    if (now - state->drawn < std::chrono::milliseconds(100)) return;
    state->drawn = now;
    fmt::print(stderr, "\r\x1b[K{:3.0f} % {}", 100 * fraction, what);
    std::fflush(stderr);
    line_shown = true;
  };
  return progress;
}

void clear_progress() {
  if (line_shown) fmt::print(stderr, "\r\x1b[K");
  line_shown = false;
}

}  // namespace aplomb::io
