#pragma once
/// A question to the crew. It stands open until answered once.

#include <cstdint>

#include "control/request.hpp"
#include "control/signs.hpp"

namespace leeward::control {

enum class AskKind : std::uint8_t {
  checklist,
  cover_fan,
  uncover_fan,
  fit_restriction,
  look_round,
  turn_fan
};

/// What a restriction that is asked for promises.
struct FitPromise {
  bool known = false;  ///< false: the ask only repeats another
  bool blind = false;  ///< before anything of the house has been measured
  int stations_to_come = 0;
  int stations_meant = 0;     ///< to be measured with it, from the next one on
  double serves_p = 0;        ///< probability that it serves all of these
  double fitted_p = 0;        ///< ... and that what is fitted does
  int stations_unserved = 0;  ///< to come, that most likely no restriction serves
  bool operator==(const FitPromise&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("known", &FitPromise::known);
    v("blind", &FitPromise::blind);
    v("stations_to_come", &FitPromise::stations_to_come);
    v("stations_meant", &FitPromise::stations_meant);
    v("serves_p", &FitPromise::serves_p);
    v("fitted_p", &FitPromise::fitted_p);
    v("stations_unserved", &FitPromise::stations_unserved);
  }
};

struct Ask {
  std::int64_t id = 0;
  AskKind kind = AskKind::checklist;
  std::int64_t at_ns = 0;
  bool restore = false;  ///< a checklist item of the restore list, not of the preparation
  int item = 0;          ///< checklist: index of the item
  int fan = 0;
  int restriction = 0;                            ///< fit_restriction: index
  FitPromise promise{};                           ///< fit_restriction
  Direction direction = Direction::depressurize;  ///< turn_fan: which way
  bool operator==(const Ask&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("id", &Ask::id);
    v("kind", &Ask::kind);
    v("at_ns", &Ask::at_ns);
    v("restore", &Ask::restore);
    v("item", &Ask::item);
    v("fan", &Ask::fan);
    v("restriction", &Ask::restriction);
    v("promise", &Ask::promise);
    v("direction", &Ask::direction);
  }
};

/// Whether the ask means one fan: the others are about the building.
constexpr bool is_about_fan(AskKind kind) {
  return kind != AskKind::checklist && kind != AskKind::look_round;
}

/// Whether an ask of this kind may be answered so. `done` always may.
constexpr bool answer_allowed(AskKind kind, Answer answer) {
  if (answer == Answer::done) return true;
  if (answer == Answer::not_applicable) return kind == AskKind::checklist;
  if (answer == Answer::keep) return kind == AskKind::fit_restriction;
  if (answer == Answer::stop) return kind == AskKind::look_round;
  return false;
}

}  // namespace leeward::control
