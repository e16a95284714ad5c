#include "control/analysis/student_t.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace leeward::control {
namespace {

TEST(StudentT, MeetsThePrintedTable) {
  // Two-sided 95 % by degrees of freedom, as any table of the t distribution prints it.
  constexpr double rows[][2] = {{1, 12.706205}, {2, 4.302653},  {3, 3.182446},  {4, 2.776445},
                                {5, 2.570582},  {8, 2.306004},  {10, 2.228139}, {20, 2.085963},
                                {60, 2.000298}, {120, 1.979930}};
  for (const auto& row : rows) EXPECT_NEAR(student_t_two_sided(0.95, row[0]), row[1], 1e-6) << row[0];
}

TEST(StudentT, GivesTheOneSidedFactorAtTwiceTheTail) {
  EXPECT_NEAR(student_t_two_sided(0.90, 8), 1.859548, 1e-6);  // printed table, one-sided 95 %
}

TEST(StudentT, GoesOverIntoTheNormalLaw) {
  constexpr double normal = 1.959963985;  // printed table

  EXPECT_NEAR(student_t_two_sided(0.95, std::numeric_limits<double>::infinity()), normal, 1e-9);
  EXPECT_NEAR(student_t_two_sided(0.95, 1e6 - 1), normal, 1e-5);
}

TEST(StudentT, IsNotANumberOutsideItsRange) {
  EXPECT_TRUE(std::isnan(student_t_two_sided(0.95, 0)));
  EXPECT_TRUE(std::isnan(student_t_two_sided(0.95, -1)));
  EXPECT_TRUE(std::isnan(student_t_two_sided(1.0, 5)));
  EXPECT_TRUE(std::isnan(student_t_two_sided(std::numeric_limits<double>::quiet_NaN(), 5)));
}

}  // namespace
}  // namespace leeward::control
