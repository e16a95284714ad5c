#include <gtest/gtest.h>

#include <boost/pfr.hpp>
#include <string>
#include <type_traits>

#include "control/engine.hpp"
#include "daemon/recorder/tick_record.hpp"
#include "daemon/words/shapes.hpp"

namespace leeward::daemon {
namespace {

/// Counts what T::describe lists, and does the same for every struct inside.
template <class T>
void expect_every_member_described(const std::string& name) {
  if constexpr (control::Described<T>) {
    std::size_t listed = 0;
    T::describe([&]<class M>(const char* field, M T::*) {
      ++listed;
      expect_every_member_described<M>(name + "." + field);
    });
    if constexpr (std::is_aggregate_v<T>) {
      EXPECT_EQ(listed, boost::pfr::tuple_size_v<T>) << name;
    }
  } else if constexpr (ShapeArray<T> || ShapeList<T>) {
    expect_every_member_described<typename T::value_type>(name + "[]");
  }
}

TEST(Describe, ListsEveryMemberOfWhatIsRecorded) {
  expect_every_member_described<control::EngineState>("state");
  expect_every_member_described<control::EngineConfig>("config");
  expect_every_member_described<control::Sample>("sample");
  expect_every_member_described<control::Request>("request");
  expect_every_member_described<control::StepOutput>("output");
  expect_every_member_described<RunSnapshot>("snapshot");
}

struct HalfDescribed {
  int seen = 0;
  int forgotten = 0;
  template <class V>
  static void describe(V&& v) {
    v("seen", &HalfDescribed::seen);
  }
};

TEST(Describe, ForgottenMemberWouldBeNoticed) {
  std::size_t listed = 0;
  HalfDescribed::describe([&](const char*, auto) { ++listed; });

  EXPECT_NE(listed, boost::pfr::tuple_size_v<HalfDescribed>);
}

}  // namespace
}  // namespace leeward::daemon
