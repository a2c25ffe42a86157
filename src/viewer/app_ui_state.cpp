// What the program says of itself beside its widgets, for tests.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include "app.h"

namespace aplomb::viewer {

void App::write_state(Ui& ui) {
  io::Json& state = ui.state();
  const Document& document = screen_.document;
  state["size"] = {std::lround(ImGui::GetIO().DisplaySize.x), std::lround(ImGui::GetIO().DisplaySize.y)};
  state["input"] = input_seen_.look();
  state["position"] = stance::name(document.subject.position);
  state["busy"] = screen_.work.busy;
  state["settled"] = settled();
  state["dragging"] = screen_.dragging;
  const Orbit& orbit = document.look.orbit;
  state["view"] = {{"turn_deg", orbit.turn_deg},
                   {"rise_deg", orbit.rise_deg},
                   {"mm_per_px", orbit.mm_per_px},
                   {"target_mm", {orbit.target.x(), orbit.target.y(), orbit.target.z()}}};
  state["seats"] = io::Json::array();
  for (int i = 0; i < document.subject.seats(); ++i) {
    const SeatView& seat = screen_.seats[static_cast<std::size_t>(i)];
    io::Json one = {{"current", seat.current}, {"shown", seat.solved && seat.solved->shown()}};
    if (seat.solved) {
      const findings::Findings& f = seat.solved->findings;
      one["care"] = seat.solved->care == Care::quick ? "quick" : "full";
      one["converged"] = f.converged;
      one["depth_mm"] = io::number_or_null(f.depth_mm);
      one["crowding_index"] = io::number_or_null(f.crowding_index);
      one["peak_kPa"] = io::number_or_null(f.peak_kPa);
      one["wall_ms"] = std::lround(seat.solved->wall_ms);
    }
    state["seats"].push_back(std::move(one));
  }
  state["messages"] = io::Json::array();
  for (const Message& message : screen_.messages) state["messages"].push_back(message.text);
  if (screen_.shelf)
    state["shelf"] = {{"running", !screen_.shelf->answer && !screen_.shelf->cancelled},
                      {"fraction", screen_.shelf->so_far.fraction},
                      {"first", screen_.shelf->so_far.first},
                      {"put_on", screen_.shelf->put_on},
                      {"other_feet", screen_.shelf->other_feet}};
  if (screen_.doubts)
    state["doubts"] = {
        {"running", screen_.doubts->running}, {"fraction", screen_.doubts->fraction}, {"what", screen_.doubts->what}};
  state["session"] = screen_.session_file;
  state["unsaved"] = screen_.unsaved;
  if (screen_.leaving) state["leaving"] = true;
}

}  // namespace aplomb::viewer
