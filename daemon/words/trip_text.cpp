#include "daemon/words/trip_text.hpp"

#include <array>

#include "daemon/words/figures.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {

namespace {

using control::TripCause;

struct TripWords {
  std::string_view what;
  std::string_view unit;
  std::string_view look_for;
};

/// In the order of TripCause.
constexpr std::array<TripWords, EnumNames<TripCause>::kNames.size()> kTripWords{{
    {"Nothing is tripped", "", ""},
    {"The building pressure stopped arriving", "s",
     "the sensor's cable and power, and the device's connection"},
    {"The building pressure stopped changing while the fan was driven", "s",
     "a pinched, wet or disconnected tube, and a sensor that hangs"},
    {"The building pressure is beyond what the sensor can read", "Pa",
     "a tube that is off or swapped, and a fan driven by something else"},
    {"The fan-side signal is missing", "s", "the fan's pressure tube, its sensor and its cable"},
    {"The building pressure went above the limit", "Pa",
     "damage such as loosened films, ceilings or seals, and a window or door that was shut while the fan "
     "ran"},
    {"The building pressure rose too fast", "Pa/s",
     "a door or window that slammed, a gust, and a tube that was touched"},
    {"The fan runs but the building does not follow", "Pa",
     "an open door, window or hatch, a tube that is off or kinked, at the gauge of the building or of the "
     "fan, "
     "and a fan that is covered or not seated"},
    {"The building pressure moves the wrong way", "Pa",
     "swapped tubes, and a fan that is turned the other way than the run asks for"},
    {"The fan's demand swings to and fro", "swings",
     "a very gusty wind, a tube that flaps or is kinked, and regulator settings that do not fit this "
     "building"},
    {"The control loop missed its times", "late periods in a row", "other work that loads this computer"},
    {"The wind alone carries the building beyond the limit", "Pa",
     "calmer weather; nothing is wrong with the rig"},
    {"The fan goes on turning although it was told to stop", "Pa",
     "the drive's own controls. Cut its power now, by hand. If the wheel stands, the fan-side gauge hangs"},
    {"The drive answers but does not take what it is told", "s",
     "a drive set to local control or locked, a wrong register in the rig file, and a fan that goes on "
     "turning"},
    {"The fan was driven without a look for too long", "s",
     "a computer that slept or was suspended, and other work that loads it"},
    {"Nobody has given a sign of life", "s",
     "the crew, first of all: see that everyone is well; then a phone that slept or lost its connection"},
}};

const TripWords& words_of(TripCause cause) {
  const auto i = static_cast<std::size_t>(cause);
  return kTripWords[i < kTripWords.size() ? i : 0];
}

std::string seen_words(const control::Trip& trip, const TripWords& words) {
  if (trip.cause == TripCause::no_response)
    return figure_text(trip.seen, words.unit) + " induced, at least " + figure_text(trip.limit, words.unit) +
           " expected";
  if (trip.cause == TripCause::pressure_frozen) return "unchanged for " + figure_text(trip.seen, words.unit);
  return figure_text(trip.seen, words.unit) + ", limit " + figure_text(trip.limit, words.unit);
}

}  // namespace

std::string_view trip_unit(TripCause cause) { return words_of(cause).unit; }

std::string trip_advice(TripCause cause) {
  const TripWords& words = words_of(cause);
  return std::string(words.what) + "; look for " + std::string(words.look_for);
}

std::string trip_text(const control::Trip& trip) {
  if (!trip.active()) return {};
  const TripWords& words = words_of(trip.cause);
  std::string text(words.what);
  text += " (" + seen_words(trip, words) + "). ";
  if (trip.cause == TripCause::fan_ignores_stop) {
    text += "It was commanded off. ";
  } else if (trip.mode == control::StopMode::ramp) {
    text += "The fan is brought to a stop. ";
  } else {
    text += "The fan was cut off at once. ";
  }
  text += "Look for ";
  text += words.look_for;
  text +=
      ". Clear the trip only when the cause is found and everyone is safe; local safety rules come first.";
  return text;
}

}  // namespace leeward::daemon
