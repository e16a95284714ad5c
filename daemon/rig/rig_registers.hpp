#pragma once
/// The register map of the virtual rig. Unit 1 answers, every other unit is met with silence.
/// float32 and uint32 take two registers, high word first. Fans 2 to 4 are there when the house has them.
///
/// Input registers
///   0  building_pressure  float32 Pa     indoor minus outdoor
///   2  fan1_signal        float32 Pa     at least 0
///   4  fan1_speed         float32 0..1
///   6  indoor_c           float32
///   8  outdoor_c          float32
///  10  sample_counter     uint32         one a sample of 0.1 s simulated time; wraps
///  20  + 4 (fan - 1)      what the drive obeys: demand float32 0..1, enabled 0/1, time-out tripped 0/1
///  40  + 4 (fan - 2)      signal float32 Pa and speed float32 of fans 2 to 4
///  60  truth, never for the tool: building pressure float32 Pa, flow float32 m3/s, time float32 s
/// Coils
///   0  + fan - 1          fan enable
/// Holding registers
///   0  + 2 (fan - 1)      fan demand      float32 0..1
///  10  + 2 (fan - 1)      drive time-out  float32 s of the wall clock, whatever the speed; 0 = none
/// Crew, uint16
/// 100  covered 0/1, 101 index of the fitted restriction (largest first); 103, 105, 107 and the register
///      after each: the same of fans 2 to 4
/// 102  direction of all fans: 0 depressurize, 1 pressurize
/// Events, 16 bit, 0 = over; those without a unit take 1
/// 110  door open, cm2              111  exhaust fan, m3/h, signed        112  fan blocked, %
/// 113  fan stalled                 114  building tube off                115  tube kinked, lag in 0.1 s
/// 116  building tubes swapped      117  building gauge stuck             118  drift, 0.1 Pa in 10 min,
/// signed 119  water in the tube, 0.1 Pa, signed   140  signal tube off          141  signal gauge stuck
/// Misbehaviour of the bus, towards requests for the registers of the tool only (crew and truth stay good)
/// 120  kind, see Misbehaviour      121  for so many samples; writing it begins, 0 ends
/// 122  ms: delay of `late`, pause between the bytes of `trickle`; 0 = 250 and 30
/// Drive
/// 130  time-out: 0 taken but without effect, 1 works (at the start), 2 there is no such register
///
/// A drive that has tripped on its time-out stays off until enable 0 is written.

#include <cstdint>

namespace leeward::daemon::rig_registers {

inline constexpr int kUnit = 1;
inline constexpr int kMaxRigFans = 4;
inline constexpr double kSampleHz = 10;

// Input
inline constexpr int kBuildingPressure = 0;
inline constexpr int kFan1Signal = 2;
inline constexpr int kFan1Speed = 4;
inline constexpr int kIndoorC = 6;
inline constexpr int kOutdoorC = 8;
inline constexpr int kSampleCounter = 10;
inline constexpr int kObeyed = 20;  ///< + 4 a fan
inline constexpr int kOtherFans = 40;
inline constexpr int kTruePressure = 60;
inline constexpr int kTrueFlow = 62;
inline constexpr int kTrueTime = 64;
inline constexpr int kInputEnd = 66;
// Holding
inline constexpr int kDemand = 0;    ///< + 2 a fan
inline constexpr int kTimeout = 10;  ///< + 2 a fan
inline constexpr int kCovered = 100;
inline constexpr int kFitted = 101;
inline constexpr int kDirection = 102;
inline constexpr int kOtherCrew = 103;  ///< + 2 a fan from fan 2 on
inline constexpr int kEvents = 110;
inline constexpr int kMisbehaviourKind = 120;
inline constexpr int kMisbehaviourSamples = 121;
inline constexpr int kMisbehaviourMs = 122;
inline constexpr int kTimeoutMode = 130;
inline constexpr int kSignalEvents = 140;
inline constexpr int kHoldingEnd = 142;

/// First address of each kind of register that belongs to test and crew, not to the tool.
inline constexpr int kFirstOfCrew = 100;
inline constexpr int kFirstOfTruth = 20;

constexpr int covered_register(int fan) { return fan == 0 ? kCovered : kOtherCrew + 2 * (fan - 1); }
constexpr int fitted_register(int fan) { return covered_register(fan) + 1; }

}  // namespace leeward::daemon::rig_registers
