#pragma once
/// The helm: of all that are allowed to command, one does at a time. It belongs to a name, not to a
/// connection. Stopping and answering need no helm.

#include <optional>
#include <string>
#include <string_view>

namespace leeward::daemon {

/// Time is told, in seconds of any steady clock.
class Helm {
 public:
  static constexpr double kSilenceS = 10;

  /// Takes the helm where it is free, keeps it where it is one's own.
  /// @returns whether the caller has it now
  bool take(std::string_view name, double now_s);
  /// A sign of life of anybody; only the holder's counts.
  void heard(std::string_view name, double now_s);
  /// @returns false where the caller does not hold it
  bool hand_over(std::string_view from, std::string_view to, double now_s);
  bool free(std::string_view name, double now_s);

  [[nodiscard]] std::optional<std::string> holder(double now_s) const;
  /// Since the holder was last heard; nullopt while nobody has it.
  [[nodiscard]] std::optional<double> silent_s(double now_s) const;

 private:
  std::string name_;
  double heard_s_ = 0;
};

}  // namespace leeward::daemon
