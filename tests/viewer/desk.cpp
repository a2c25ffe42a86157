// Processes and pixels. The server keeps its screen in a file (xwd format), which needs no program to read.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk.h"

#include <cairo.h>
#include <fcntl.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <iostream>
#include <sstream>
#include <thread>

#include "patience.h"

extern char** environ;

namespace aplomb::test {

namespace fs = std::filesystem;
using nlohmann::json;

namespace {

void nap(int ms) { std::this_thread::sleep_for(std::chrono::milliseconds(ms)); }

pid_t spawn(const std::vector<std::string>& command, const std::map<std::string, std::string>& environment,
            const fs::path& folder, const std::string& log, int keep_open = -1) {
  const pid_t child = ::fork();
  if (child != 0) return child;
  for (const auto& [name, value] : environment) ::setenv(name.c_str(), value.c_str(), 1);
  if (::chdir(folder.c_str()) != 0) ::_exit(126);
  const int out = ::open(log.c_str(), O_WRONLY | O_CREAT | O_APPEND, 0600);
  ::dup2(out, 1), ::dup2(out, 2);
  for (int handle = 3; handle < 256; ++handle)
    if (handle != keep_open) ::close(handle);
  std::vector<char*> words;
  for (const std::string& word : command) words.push_back(const_cast<char*>(word.c_str()));
  words.push_back(nullptr);
  ::execvp(words[0], words.data());
  ::_exit(127);
}

std::uint32_t word_at(const std::string& bytes, std::size_t index) {
  std::uint32_t value = 0;
  for (std::size_t k = 0; k < 4; ++k) value = (value << 8) | static_cast<unsigned char>(bytes[4 * index + k]);
  return value;
}

/// A part of the state that tells what the window has heard of keys and pointer; -1 where it tells nothing.
int heard(const json& s, const char* what) { return s.contains("input") ? s["input"].value(what, -1) : -1; }

}  // namespace

int Pixels::differing(const Pixels& other, int x, int y, int w, int h, int least) const {
  int count = 0;
  for (int row = std::max(0, y); row < std::min(height, y + h); ++row)
    for (int column = std::max(0, x); column < std::min(width, x + w); ++column) {
      const std::size_t at =
          3 * (static_cast<std::size_t>(row) * static_cast<std::size_t>(width) + static_cast<std::size_t>(column));
      bool differs = false;
      for (std::size_t k = 0; k < 3; ++k) differs = differs || std::abs(rgb[at + k] - other.rgb[at + k]) > least;
      count += differs ? 1 : 0;
    }
  return count;
}

std::array<int, 3> Pixels::at(int x, int y) const {
  if (x < 0 || y < 0 || x >= width || y >= height) return {};
  const std::size_t first =
      3 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x));
  return {rgb[first], rgb[first + 1], rgb[first + 2]};
}

Desk::Desk(int width, int height) {
  std::string name = (fs::temp_directory_path() / "aplomb_desk_XXXXXX").string();
  folder_ = ::mkdtemp(name.data());
  if (std::system("command -v Xvfb >/dev/null && command -v xdotool >/dev/null") != 0) return;
  int ends[2];
  if (::pipe(ends) != 0) return;
  const std::string size = std::to_string(width) + "x" + std::to_string(height) + "x24";
  server_ = spawn({"Xvfb", "-displayfd", std::to_string(ends[1]), "-screen", "0", size, "-fbdir", folder_.string(),
                   "-nolisten", "tcp"},
                  {}, folder_, (folder_ / "server.log").string(), ends[1]);
  ::close(ends[1]);
  char digits[16] = "";
  std::size_t got = 0;
  while (got + 1 < sizeof digits && ::read(ends[0], digits + got, 1) == 1 && digits[got] != '\n') ++got;
  ::close(ends[0]);
  if (got == 0) return;
  display_ = std::atoi(digits);
  environment_ = {{"DISPLAY", ":" + std::to_string(display_)},
                  {"XDG_STATE_HOME", (folder_ / "state").string()},
                  {"HOME", folder_.string()},
                  {"LIBGL_ALWAYS_SOFTWARE", "1"}};
}

Desk::~Desk() {
  kill();
  if (server_ > 0) {
    ::kill(server_, SIGTERM);
    ::waitpid(server_, nullptr, 0);
  }
  std::error_code code;
  fs::remove_all(folder_, code);
}

void Desk::launch(const std::vector<std::string>& arguments) {
  fs::remove(folder_ / "ui.json");
  fs::remove(folder_ / "program.log");
  std::vector<std::string> command{APLOMB_PROGRAM, "view", "--ui-state", (folder_ / "ui.json").string()};
  command.insert(command.end(), arguments.begin(), arguments.end());
  program_ = spawn(command, environment_, folder_, (folder_ / "program.log").string());
}

std::string Desk::said() const {
  std::ifstream log(folder_ / "program.log");
  std::ostringstream all;
  all << log.rdbuf();
  return all.str();
}

bool Desk::start(const std::vector<std::string>& arguments, double seconds) {
  launch(arguments);
  if (!wait([](const json& s) { return s.contains("items"); }, seconds)) {
    std::cerr << "the window did not come; the program said: " << said() << "\n";
    return false;
  }
  // Without a window manager nobody gives it the keys.
  hand({"search", "--sync", "--name", "^Aplomb$", "windowfocus"});
  return true;
}

void Desk::kill() {
  if (program_ <= 0) return;
  ::kill(program_, SIGKILL);
  ::waitpid(program_, nullptr, 0);
  program_ = 0;
}

void Desk::interrupt() {
  if (program_ > 0) ::kill(program_, SIGINT);
}

bool Desk::running() const {
  siginfo_t how{};
  return program_ > 0 && ::waitid(P_PID, static_cast<id_t>(program_), &how, WEXITED | WNOHANG | WNOWAIT) == 0 &&
         how.si_pid == 0;
}

int Desk::ended(double seconds) {
  for (int i = 0; i < static_cast<int>(20 * patience * seconds); ++i) {
    int status = 0;
    if (::waitpid(program_, &status, WNOHANG) == program_) {
      program_ = 0;
      return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    }
    nap(50);
  }
  return -1;
}

int Desk::quit() {
  key("ctrl+q");
  (void)wait([&](const json& s) { return !running() || s.contains("leaving"); }, 20);
  if (running()) click("leaving.unsaved");
  return ended(20);
}

json Desk::state() const {
  std::ifstream in(folder_ / "ui.json");
  const json state = json::parse(in, nullptr, false);
  return state.is_object() ? state : json::object();
}

bool Desk::wait(const std::function<bool(const json&)>& enough, double seconds) const {
  for (int i = 0; i < static_cast<int>(20 * patience * seconds); ++i) {
    if (enough(state())) return true;
    nap(50);
  }
  return false;
}

json Desk::item(const std::string& id) const {
  const json now = state();
  if (now.contains("items"))
    for (const json& one : now["items"])
      if (one["id"] == id) return one;
  return nullptr;
}

void Desk::hand(const std::vector<std::string>& arguments) const {
  std::vector<std::string> command{"xdotool"};
  command.insert(command.end(), arguments.begin(), arguments.end());
  const pid_t child = spawn(command, environment_, folder_, (folder_ / "hand.log").string());
  ::waitpid(child, nullptr, 0);
}

void Desk::place_of(const std::string& id, double share_x, double share_y, int& x, int& y) const {
  const json one = item(id);
  if (one.is_null()) return;
  x = static_cast<int>(std::lround(one["rect"][0].get<double>() + share_x * one["rect"][2].get<double>()));
  y = static_cast<int>(std::lround(one["rect"][1].get<double>() + share_y * one["rect"][3].get<double>()));
}

bool Desk::seen(const std::function<bool(const json&)>& enough) const {
  for (int i = 0; i < 300 * patience && running(); ++i) {
    if (enough(state())) return true;
    nap(10);
  }
  return false;
}

void Desk::settle() const {
  (void)seen([](const json& s) { return heard(s, "frames") >= 4; });
}

void Desk::move_to(int x, int y) {
  hand({"mousemove", std::to_string(x), std::to_string(y)});
  (void)seen([&](const json& s) { return s.contains("input") && s["input"]["mouse"] == json{x, y}; });
}

void Desk::press(const char* how, const std::string& what) {
  const int before = heard(state(), "presses");
  hand({how, what});
  (void)seen([&](const json& s) { return heard(s, "presses") > before; });
}

void Desk::lift(const char* how, const std::string& what) {
  const int before = heard(state(), "down");
  hand({how, what});
  (void)seen([&](const json& s) { return heard(s, "down") < before; });
}

void Desk::click_at(int x, int y) {
  move_to(x, y);
  settle();
  press("mousedown", "1");
  lift("mouseup", "1");
  settle();
  nap(150);  // or the next click is a double one
}

void Desk::click(const std::string& id) {
  int x = 0, y = 0;
  place_of(id, 0.5, 0.5, x, y);
  click_at(x, y);
}

void Desk::press_and_move(const std::string& id, double share_x, double share_y, int dx, int dy, int button) {
  int x = 0, y = 0;
  place_of(id, share_x, share_y, x, y);
  move_to(x, y);
  settle();
  press("mousedown", std::to_string(button));
  constexpr int steps = 5;
  for (int k = 1; k <= steps; ++k) move_to(x + dx * k / steps, y + dy * k / steps);
}

void Desk::let_go(int button) {
  settle();
  lift("mouseup", std::to_string(button));
  settle();
}

void Desk::point_at(const std::string& id, double share_x, double share_y) {
  int x = 0, y = 0;
  place_of(id, share_x, share_y, x, y);
  move_to(x, y);
  settle();
}

void Desk::turn_wheel(int clicks) {
  for (int k = 0; k < std::abs(clicks); ++k) {
    const int before = heard(state(), "wheel");
    hand({"click", clicks > 0 ? "4" : "5"});
    (void)seen([&](const json& s) { return heard(s, "wheel") > before; });
  }
  settle();
}

void Desk::wheel(const std::string& id, double share_x, double share_y, int clicks) {
  point_at(id, share_x, share_y);
  turn_wheel(clicks);
}

void Desk::hold(const std::string& key) { press("keydown", key); }

void Desk::release(const std::string& key) { lift("keyup", key); }

bool Desk::scroll_to(const std::string& over, const std::string& id, int direction) {
  int x = 0, y = 0;
  const json panel = item("numbers_panel");
  place_of(panel.is_null() ? over : "numbers_panel", 0.5, 0.5, x, y);
  for (int turn = 0; turn < 60; ++turn) {
    // In sight with room to spare: neither cut off above nor below.
    const json one = item(id), frame = item("numbers_panel");
    if (!one.is_null() && !frame.is_null()) {
      const double low = frame["rect"][1].get<double>() + 30, high = low + frame["rect"][3].get<double>() - 60;
      const double top = one["rect"][1].get<double>(), bottom = top + one["rect"][3].get<double>();
      if (top > low && bottom < high) return true;
    }
    move_to(x, y);
    turn_wheel(direction > 0 ? -1 : 1);
  }
  return false;
}

void Desk::drag(const std::string& id, double share_x, double share_y, int dx, int dy, int button) {
  press_and_move(id, share_x, share_y, dx, dy, button);
  let_go(button);
}

void Desk::key(const std::string& keys) {
  // Let go as soon as it was seen: one that is held repeats, which for going from widget to widget is after .18 s.
  const std::size_t plus = keys.rfind('+');
  const std::string held = plus == std::string::npos ? "" : keys.substr(0, plus), last = keys.substr(plus + 1);
  if (!held.empty()) hold(held);
  press("keydown", last);
  lift("keyup", last);
  if (!held.empty()) release(held);
  settle();
}

void Desk::type(const std::string& text) { hand({"type", "--delay", "60", text}); }

Pixels Desk::pixels() const {
  std::ifstream in(folder_ / "Xvfb_screen0", std::ios::binary);
  std::ostringstream all;
  all << in.rdbuf();
  const std::string bytes = all.str();
  Pixels out;
  if (bytes.size() < 100) return out;
  // X11/XWDFile.h: header_size, ..., pixmap_width (4), pixmap_height (5), ..., bytes_per_line (12), ..., ncolors (19).
  const std::uint32_t header = word_at(bytes, 0), width = word_at(bytes, 4), height = word_at(bytes, 5),
                      line = word_at(bytes, 12), colours = word_at(bytes, 19);
  const std::size_t first = header + 12 * static_cast<std::size_t>(colours);
  if (bytes.size() < first + static_cast<std::size_t>(line) * height) return out;
  out.width = static_cast<int>(width), out.height = static_cast<int>(height);
  for (std::size_t y = 0; y < height; ++y)
    for (std::size_t x = 0; x < width; ++x) {
      const std::size_t at = first + y * line + 4 * x;
      for (std::size_t k = 0; k < 3; ++k) out.rgb.push_back(static_cast<unsigned char>(bytes[at + 2 - k]));
    }
  return out;
}

Pixels Desk::still() const {
  Pixels now = pixels();
  for (int i = 0; i < static_cast<int>(20 * patience); ++i) {
    nap(250);
    Pixels next = pixels();
    if (next.rgb == now.rgb) return next;
    now = std::move(next);
  }
  return now;
}

void Desk::keep(const std::string& name) const {
  const Pixels now = pixels();
  fs::create_directories(APLOMB_SHOTS);
  cairo_surface_t* surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, now.width, now.height);
  unsigned char* data = cairo_image_surface_get_data(surface);
  const int stride = cairo_image_surface_get_stride(surface);
  for (int y = 0; y < now.height; ++y)
    for (int x = 0; x < now.width; ++x)
      for (int k = 0; k < 3; ++k)
        data[y * stride + 4 * x + k] = now.rgb[3 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(now.width) +
                                                    static_cast<std::size_t>(x)) +
                                               static_cast<std::size_t>(2 - k)];
  cairo_surface_mark_dirty(surface);
  cairo_surface_write_to_png(surface, (std::string(APLOMB_SHOTS) + "/" + name + ".png").c_str());
  cairo_surface_destroy(surface);
}

}  // namespace aplomb::test
