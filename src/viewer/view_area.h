// The pictures of the seats with what is drawn over them, and the hand on them.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <map>
#include <memory>

#include "place.h"
#include "screen.h"
#include "stage.h"
#include "widgets.h"

namespace aplomb::viewer {

/// Skin prepared with other values than pressures, kept for the frame shown.
struct SkinCache {
  std::shared_ptr<const Frame> frame, reference;
  SkinLook skin = SkinLook::pressure;
  std::shared_ptr<const report::PreparedScene> prepared;
  double scale_end = 1;  ///< of a difference
};

class ViewArea {
 public:
  /// Errors: see Stage::make().
  static io::Result<ViewArea> make(const std::filesystem::path& shader_folder);
  /// Draws into the current ImGui window, which covers `rect`.
  void draw(Ui& ui, Screen& screen, const ViewRect& rect);

 private:
  void draw_seat(Ui& ui, Screen& screen, int seat, const ViewRect& rect);
  std::shared_ptr<const report::PreparedScene> skin_of(const SeatView& seat, const std::shared_ptr<const Frame>& frame,
                                                       const Look& seen, int index, double& scale_end);

  std::vector<Stage> stages_;
  std::array<SkinCache, 2> skins_;
};

}  // namespace aplomb::viewer
