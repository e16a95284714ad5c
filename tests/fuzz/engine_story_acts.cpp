// What the bytes make crew, clients, gauges and clock do.
#include "tests/fuzz/engine_story.hpp"

namespace leeward::fuzz {

void EngineStory::request(const control::Request& r) {
  if (!requests_.push_back(r)) advance(1);
}

/// With the fields that usually make sense, or wild ones.
control::Request EngineStory::any_request(control::RequestKind kind) {
  const std::uint8_t choice = bytes_.byte();
  const bool wild = (choice & 1U) != 0;
  const auto number = [&](double low, double high) {
    return wild ? bytes_.wild(low, high) : bytes_.between(low, high);
  };
  control::Request r;
  r.kind = kind;
  r.look_round_done = (choice & 2U) != 0;
  r.direction = static_cast<control::Direction>((choice >> 2U) & 1U);
  if (kind == control::RequestKind::stop || kind == control::RequestKind::clear_trip) return r;
  r.target_pa = number(1, 80);
  r.duration_s = number(5, 12);
  r.rate_pa_s = number(0.05, 20);
  r.max_s = number(1, 200);
  r.volume_m3 = number(0, 600);
  return r;
}

void EngineStory::answer_one() {
  const std::uint8_t which = bytes_.byte();
  const auto answer = static_cast<control::Answer>(bytes_.below(5));
  control::Request r;
  r.kind = control::RequestKind::answer;
  r.answer = answer;
  r.ask_id = which;
  if (!state_.asks.empty() && which < 200) {
    const control::Ask& ask = state_.asks[which % state_.asks.size()];
    r.ask_id = ask.id;
    if (which % 4 != 3) hands(ask, answer);  // else the crew says what it has not done
  }
  request(r);
}

void EngineStory::hands(const control::Ask& ask, control::Answer answer) {
  if (answer != control::Answer::done) return;
  if (ask.kind == control::AskKind::cover_fan) house_.covered = true;
  if (ask.kind == control::AskKind::uncover_fan) house_.covered = false;
  if (ask.kind == control::AskKind::fit_restriction) house_.fitted = ask.restriction;
  if (ask.kind == control::AskKind::turn_fan) house_.blows = ask.direction;
}

void EngineStory::crew() {
  for (const control::Ask& ask : state_.asks) {
    if (requests_.size() >= control::kMaxRequestsPerTick) return;
    hands(ask, control::Answer::done);
    control::Request r;
    r.kind = control::RequestKind::answer;
    r.ask_id = ask.id;
    r.answer = control::Answer::done;
    requests_.push_back(r);
  }
}

void EngineStory::start_run() {
  control::Request r;
  r.kind = control::RequestKind::start_run;
  r.run.procedure = short_procedure(bytes_.byte());
  const std::uint8_t choice = bytes_.byte();
  r.run.direction = static_cast<control::DirectionChoice>((choice & 3U) % 3);
  r.run.attended = (choice & 4U) == 0;
  r.run.building.name = "Invented house";
  r.run.building.volume_m3 = (choice & 8U) != 0 ? 400 : 0;
  r.run.building.floor_area_m2 = (choice & 16U) != 0 ? 160 : 0;
  r.run.building.envelope_area_m2 = (choice & 32U) != 0 ? 380 : 0;
  r.run.presence_s = (choice & 128U) != 0 ? control::kLeastPresence : 0;
  r.run.conditions.indoor_c = 20;
  r.run.conditions.outdoor_c = 5;
  if ((choice & 64U) != 0) r.run.procedure.stations_pa.push_back(bytes_.wild(1, 75));
  request(r);
}

void EngineStory::begin_spoiling(bool wildly) {
  spoilt_.what = static_cast<Spoilt::What>(1 + bytes_.below(4));
  spoilt_.is_frozen = !wildly && bytes_.flag();
  spoilt_.as.value = wildly ? bytes_.wild(-200, 200) : bytes_.between(-90, 90);
  spoilt_.as.quality = wildly ? static_cast<control::Quality>(bytes_.below(6)) : control::Quality::good;
  // Beyond 127: ahead of the sample; 0: its own.
  const auto age = static_cast<std::int8_t>(wildly ? bytes_.byte() : 0);
  spoilt_.as.stamp_ns = static_cast<std::int64_t>(age) * 20'000'000;
  spoilt_.ticks = 1 + static_cast<int>(bytes_.below(40));
  advance(1 + static_cast<int>(bytes_.below(32)));
}

void EngineStory::bend_time() {
  const std::uint8_t choice = bytes_.byte();
  if ((choice & 1U) != 0) out_of_turn_ = true;
  if ((choice & 2U) != 0) late_ = 1 + static_cast<int>(bytes_.below(6));
  if ((choice & 4U) != 0) skipped_ = 1 + static_cast<int>(bytes_.below(6));
  if ((choice & 8U) != 0) {
    // -640 ms to 635 ms by 5 ms; times 1, 100 (a minute) or a billion (centuries).
    const std::array factors{std::int64_t{5'000'000}, std::int64_t{500'000'000},
                             std::int64_t{50'000'000'000'000'000}};
    const auto steps = static_cast<std::int8_t>(bytes_.byte());
    const std::int64_t factor = factors[bytes_.below(factors.size())];
    // The clock of a device does not overflow: it counts from its connection.
    const std::int64_t leap = static_cast<std::int64_t>(steps) * factor;
    constexpr std::int64_t furthest = std::int64_t{1} << 62U;
    if (stamp_ns_ + leap < furthest && stamp_ns_ + leap > -furthest) leap_ns_ = leap;
  }
  advance(1);
}

void EngineStory::change_house() {
  switch (bytes_.below(8)) {
    case 0:
      house_.leak_m3_s_pan = bytes_.between(0.0005, 0.3);
      break;
    case 1:
      house_.wind_pa = bytes_.between(-100, 100);
      break;
    case 2:
      house_.noise_pa = bytes_.between(0, 8);
      break;
    case 3:
      house_.deaf = !house_.deaf;
      break;
    case 4:
      house_.covered = !house_.covered;
      break;
    case 5:
      house_.blows = control::opposite(house_.blows);
      break;
    case 6:
      house_.fitted = static_cast<int>(bytes_.below(4));
      break;
    default:
      house_.wind_pa = 0;
      house_.noise_pa = 0.05;
  }
}

void EngineStory::raw_request() {
  using control::RequestKind;
  constexpr std::size_t kinds = static_cast<std::size_t>(RequestKind::still_here) + 1;
  control::Request r = any_request(static_cast<RequestKind>(bytes_.below(kinds)));
  r.keep_frac = bytes_.flag() ? bytes_.wild(0, 1) : state_.applied_frac + bytes_.between(-0.1, 0.1);
  r.run.procedure = short_procedure(0);
  if (r.kind == RequestKind::tell_drive) {
    const bool wild = bytes_.flag();
    const auto figure = [&](control::FoundRange range) {
      return control::FoundFigure{
          wild ? bytes_.wild(range.low, range.high) : bytes_.between(range.low, range.high), 0.01};
    };
    r.drive = {true,
               figure(control::kSlewRange),
               figure(control::kDriveLagRange),
               figure(control::kGaugeLagRange),
               figure(control::kGaugeLagRange),
               figure(control::kOffsetRange),
               figure(control::kScaleRange)};
  }
  request(r);
}

}  // namespace leeward::fuzz
