// One lock round plain data; the solver itself runs outside it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver_thread.h"

#include <sys/resource.h>
#include <unistd.h>

#include <algorithm>

#include "unforeseen.h"

namespace aplomb::viewer {

SolverThread::SolverThread(Library library, std::function<void()> wake)
    : solver_(std::move(library)), wake_(std::move(wake)), thread_([this] { run(); }) {}

SolverThread::~SolverThread() {
  {
    const std::lock_guard lock(mutex_);
    stopping_ = true;
    cancel_ = true;
  }
  changed_.notify_all();
  thread_.join();
}

void SolverThread::want(std::vector<Request> requests) {
  {
    const std::lock_guard lock(mutex_);
    const auto is_running = [this](const Request& request) { return request_key(request) == work_.key; };
    const auto running = std::find_if(requests.begin(), requests.end(), is_running);
    const bool first = running == requests.begin() && running != requests.end();
    // A full solve further down the list waits for the urgent one and is done again then.
    const bool urgent_quick = !requests.empty() && requests.front().care == Care::quick;
    // So does advice, which takes long; what it solved so far is remembered.
    const bool gives_way = urgent_quick || running_advice_;
    if (work_.busy && !running_quick_ && (running == requests.end() || (gives_way && !first))) cancel_ = true;
    if (work_.busy && running != requests.end() && !cancel_) requests.erase(running);
    wanted_ = std::move(requests);
  }
  changed_.notify_all();
}

std::vector<std::shared_ptr<const Solved>> SolverThread::take() {
  const std::lock_guard lock(mutex_);
  return std::exchange(answers_, {});
}

Work SolverThread::work() const {
  const std::lock_guard lock(mutex_);
  return work_;
}

void SolverThread::cancel() {
  const std::lock_guard lock(mutex_);
  wanted_.clear();
  if (work_.busy) cancel_ = true;
}

bool SolverThread::idle() const {
  const std::lock_guard lock(mutex_);
  return !work_.busy && wanted_.empty() && answers_.empty();
}

io::Progress SolverThread::progress() {
  return {[this](double fraction, std::string_view what) {
            const std::lock_guard lock(mutex_);
            work_.fraction = fraction;
            work_.what = what;
          },
          &cancel_};
}

Solved SolverThread::answer(const Request& request) {
  auto solved = guarded([&]() -> io::Result<Solved> { return solver_.solve(request, progress()); });
  if (solved) return std::move(*solved);
  Solved failed;
  failed.key = request_key(request);
  failed.position = request.position;
  failed.care = request.care;
  failed.band = request.band;
  failed.error = solved.error();
  return failed;
}

void SolverThread::run() {
  // Where somebody draws meanwhile, drawing goes first on few cores. Linux keeps this number for each thread; where it
  // does not take it, no harm.
  constexpr int behind_drawing = 10;
  if (wake_) (void)::setpriority(PRIO_PROCESS, static_cast<id_t>(::gettid()), behind_drawing);
  std::unique_lock lock(mutex_);
  while (true) {
    changed_.wait(lock, [this] { return stopping_ || !wanted_.empty(); });
    if (stopping_) return;
    const Request request = std::move(wanted_.front());
    wanted_.erase(wanted_.begin());
    work_ = {true, request_key(request), request.position, 0, "starting"};
    running_quick_ = request.care == Care::quick;
    running_advice_ = request.advice;
    cancel_ = false;
    lock.unlock();
    auto solved = std::make_shared<Solved>(answer(request));
    lock.lock();
    const bool cancelled = solved->error && solved->error->kind == io::ErrorKind::cancelled;
    if (!cancelled) answers_.push_back(std::move(solved));
    work_ = {};
    lock.unlock();
    if (wake_) wake_();
    lock.lock();
  }
}

}  // namespace aplomb::viewer
