// From a choice and a position to what the window shows: foot, shoe, findings, and scenes ready to draw.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "aplomb/findings/findings.h"
#include "aplomb/foot/card.h"
#include "aplomb/foot/foot.h"
#include "aplomb/io/progress.h"
#include "aplomb/report/scene_renderer.h"
#include "aplomb/shoe/parameters.h"
#include "aplomb/shop/advise.h"
#include "aplomb/stance/stand.h"
#include "choice.h"
#include "library.h"

namespace aplomb::viewer {

/// Quick answers come while a number is dragged: looser balance, beside the answer before; no friction band.
enum class Care { quick, full };

/// One state to draw. On a way up or down there are several, each as solved.
struct Frame {
  findings::Scene scene;
  std::string title;                                      ///< how high the heel is, on such a way
  std::shared_ptr<const report::PreparedScene> prepared;  ///< with pressures on the skin
};

struct Solved {
  std::string key;     ///< of the request
  std::string choice;  ///< choice_key()
  stance::Position position = stance::Position::full_pointe_two;
  Care care = Care::full;
  bool band = false;
  std::shared_ptr<const foot::Foot> foot;          ///< null where the foot could not be made
  std::optional<shoe::ShoeParameters> parameters;  ///< nothing where the shoe could not be read
  std::optional<io::Error> error;                  ///< of foot, shoe or stance
  findings::Findings findings;
  std::vector<Frame> frames;                     ///< empty when not converged
  std::vector<findings::HeightFinding> heights;  ///< one for each frame on a way; else none
  double scale_kPa = 0;                          ///< that the colours reach to: 2 % of the loaded skin is pressed more
  double wall_ms = 0;
  std::shared_ptr<const shop::Advice> advice;  ///< of a request for advice, which has only the foot beside

  bool shown() const { return !frames.empty(); }
  /// Place among the frames of a step on the way, or of the position itself: a rise ends in it, a way down begins with
  /// it. Pre: shown().
  std::size_t at(std::optional<int> step) const;
};

struct Request {
  Choice choice;
  stance::Position position = stance::Position::full_pointe_two;
  Care care = Care::full;
  bool band = false;    ///< also after friction has settled
  bool advice = false;  ///< what to try, in the positions of the rules; each change is solved. Takes long
};
std::string request_key(const Request& request);
/// The same from the choice's own key.
std::string request_key(const std::string& choice, stance::Position position, Care care, bool band);
std::string advice_key(const std::string& choice);

/// Keeps the last feet made, because fitting one takes as long as standing it, and the numbers that rules read of
/// every stand.
class Solver {
 public:
  explicit Solver(Library library);
  /// Never fails: what went wrong is in the answer. Cancelled work has an error of that kind.
  Solved solve(const Request& request, const io::Progress& progress);

 private:
  /// All that a stand needs beside its position; `out` gets what there is of it even where the rest cannot be.
  struct Ready {
    std::shared_ptr<const foot::Foot> foot;
    shoe::ShoeParameters parameters;
    stance::Constants constants;
    std::string basis;  ///< of everything but shoe and position
  };
  io::Result<Ready> ready(const Request& request, const io::Progress& progress, Solved& out);
  io::Result<std::shared_ptr<const foot::Foot>> foot_of(const Source& source);
  void stand(const Request& request, const Ready& ready, const io::Progress& progress, Solved& out);
  void advise(const Request& request, const Ready& ready, const io::Progress& progress, Solved& out);

  static std::string beside_key(const Request& request);
  void remember(const Ready& ready, const shoe::ShoeParameters& shoe, stance::Position position,
                const findings::Findings& findings);

  Library library_;
  std::vector<std::pair<Source, std::shared_ptr<const foot::Foot>>> feet_;
  /// By foot file, shoe file and position, the last path that balanced: beside it the next quick answer is looked for.
  std::map<std::string, std::shared_ptr<const contact::LoadPath>> before_;
  std::map<std::string, shop::Solved> remembered_;  ///< by basis, shoe and position
};

/// How the command line stands a foot by default; contact::dragging_options() where the answer is to be quick.
stance::StandOptions stand_options(const Request& request, const stance::Constants& constants,
                                   std::shared_ptr<const contact::LoadPath> beside);

/// The card in a source with the changes in it. Errors: as parse_card(), and what contradicts in the changed numbers.
io::Result<foot::Card> card_of(const Source& source);
/// The shoe's numbers with the changes in it. Errors: as parse_shoe() and check().
io::Result<shoe::ShoeParameters> parameters_of(const Source& source);

}  // namespace aplomb::viewer
