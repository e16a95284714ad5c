#include "daemon/access/helm.hpp"

namespace leeward::daemon {

std::optional<std::string> Helm::holder(double now_s) const {
  if (name_.empty() || now_s - heard_s_ > kSilenceS) return std::nullopt;
  return name_;
}

std::optional<double> Helm::silent_s(double now_s) const {
  return holder(now_s) ? std::optional(now_s - heard_s_) : std::nullopt;
}

bool Helm::take(std::string_view name, double now_s) {
  const auto held_by = holder(now_s);
  if (held_by && *held_by != name) return false;
  name_ = name;
  heard_s_ = now_s;
  return true;
}

void Helm::heard(std::string_view name, double now_s) {
  if (holder(now_s) == name) heard_s_ = now_s;
}

bool Helm::hand_over(std::string_view from, std::string_view to, double now_s) {
  if (holder(now_s) != from) return false;
  name_ = to;
  heard_s_ = now_s;
  return true;
}

bool Helm::free(std::string_view name, double now_s) {
  if (holder(now_s) != name) return false;
  name_.clear();
  return true;
}

}  // namespace leeward::daemon
