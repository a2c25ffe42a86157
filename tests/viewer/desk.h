// A display of its own with the program's window on it, and a hand that moves mouse and keys (Xvfb, xdotool).
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <sys/types.h>

#include <array>
#include <filesystem>
#include <functional>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace aplomb::test {

/// 24-bit pixels of the whole display, top row first.
struct Pixels {
  int width = 0, height = 0;
  std::vector<unsigned char> rgb;
  /// How many pixels of a rectangle differ by more than `least` in any channel.
  int differing(const Pixels& other, int x, int y, int w, int h, int least = 24) const;
  /// One pixel, red, green, blue.
  std::array<int, 3> at(int x, int y) const;
};

class Desk {
 public:
  /// Starts a display of this size in a folder of its own. Nothing when Xvfb or xdotool is not there: see ready().
  Desk(int width, int height);
  ~Desk();
  Desk(const Desk&) = delete;
  Desk& operator=(const Desk&) = delete;

  bool ready() const { return display_ >= 0; }
  const std::filesystem::path& folder() const { return folder_; }
  void set(const std::string& name, const std::string& value) { environment_[name] = value; }

  /// Starts `aplomb view ARGUMENTS --ui-state ...` and waits until its window takes keys. False after `seconds`.
  bool start(const std::vector<std::string>& arguments, double seconds = 60);
  /// The same without waiting for a window.
  void launch(const std::vector<std::string>& arguments);
  std::string said() const;  ///< on standard output and error since the last launch
  void kill();               ///< as the power going off: SIGKILL
  void interrupt();          ///< as Ctrl+C in its terminal
  /// Exit code within `seconds`; -1 when it still runs or a signal ended it.
  int ended(double seconds);
  /// Ctrl+Q, without saving where that is asked. Exit code as ended().
  int quit();

  /// What is on the screen now; an empty object before the first frame.
  nlohmann::json state() const;
  /// Waits until the state says so; false after `seconds`.
  bool wait(const std::function<bool(const nlohmann::json&)>& enough, double seconds = 60) const;
  /// The widget of this id; null when it is not on the screen.
  nlohmann::json item(const std::string& id) const;

  void click(const std::string& id);
  void click_at(int x, int y);
  /// Presses at a share of the widget's rectangle, moves by pixels, lets go. Button 1 left, 3 right.
  void drag(const std::string& id, double share_x, double share_y, int dx, int dy, int button = 1);
  /// The same, but the button stays down.
  void press_and_move(const std::string& id, double share_x, double share_y, int dx, int dy, int button = 1);
  void let_go(int button = 1);
  /// Holds the pointer there.
  void point_at(const std::string& id, double share_x = 0.5, double share_y = 0.5);
  /// Turns the wheel there, away from the hand (+) or toward it.
  void wheel(const std::string& id, double share_x, double share_y, int clicks);
  /// A modifier held and let go: "shift".
  void hold(const std::string& key);
  void release(const std::string& key);
  /// Turns the wheel over the panel of `over` until `id` is in sight; down (+1) or up (-1).
  bool scroll_to(const std::string& over, const std::string& id, int direction = 1);
  void key(const std::string& keys);  ///< as xdotool names them: "ctrl+z"
  void type(const std::string& text);

  Pixels pixels() const;
  /// Once nothing moves any more, or after some seconds.
  Pixels still() const;
  void keep(const std::string& name) const;  ///< as a PNG among the build's pictures

 private:
  void hand(const std::vector<std::string>& arguments) const;
  bool running() const;
  /// Each does one thing and waits until the window has seen it: what it has not seen in a few seconds it never will.
  void move_to(int x, int y);
  void press(const char* how, const std::string& what);
  void lift(const char* how, const std::string& what);
  void turn_wheel(int clicks);
  void settle() const;  ///< waits until the window has drawn some frames after the last of keys and pointer
  bool seen(const std::function<bool(const nlohmann::json&)>& enough) const;
  void place_of(const std::string& id, double share_x, double share_y, int& x, int& y) const;

  std::filesystem::path folder_;
  std::map<std::string, std::string> environment_;
  int display_ = -1;
  pid_t server_ = 0, program_ = 0;
};

}  // namespace aplomb::test
