#include "daemon/document/surfaces.hpp"

#include <glib.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/daemon/document/example_report.hpp"

namespace leeward::daemon {
namespace {

using testing::HasSubstr;

constexpr Picture kEveryPicture[] = {Picture::pressure, Picture::curve, Picture::residuals, Picture::budget};

bool is_well_formed(const std::string& xml) {
  const GMarkupParser nothing{};
  GMarkupParseContext* context = g_markup_parse_context_new(&nothing, GMarkupParseFlags{}, nullptr, nullptr);
  const bool good =
      g_markup_parse_context_parse(context, xml.data(), static_cast<gssize>(xml.size()), nullptr) != 0 &&
      g_markup_parse_context_end_parse(context, nullptr) != 0;
  g_markup_parse_context_free(context);
  return good;
}

TEST(PictureSvg, IsWellFormedAndSaysWhatItShows) {
  ReportData data = example::report_data(2);
  data.record.building.name = "Müller & Søn <Haus \"A\">";
  for (const Picture picture : kEveryPicture) {
    const auto svg = picture_svg(picture, data, display_units(UnitSystem::metric));

    ASSERT_TRUE(svg.has_value());
    EXPECT_TRUE(is_well_formed(*svg));
    EXPECT_THAT(*svg, HasSubstr("<title>"));
    EXPECT_THAT(*svg, HasSubstr("Müller &amp; Søn"));
    EXPECT_THAT(*svg, HasSubstr("<desc>"));
  }
}

TEST(PictureSvg, IsTheSameBytesForTheSameData) {
  const ReportData data = example::report_data();
  const DisplayUnits units = display_units(UnitSystem::metric);

  EXPECT_EQ(*picture_svg(Picture::curve, data, units), *picture_svg(Picture::curve, data, units));
}

TEST(PictureSvg, SaysThatARunDoesNotCount) {
  ReportData data = example::report_data();
  data.state = control::RunState::invalid;

  EXPECT_THAT(*picture_svg(Picture::curve, data, display_units(UnitSystem::metric)),
              HasSubstr("NOT A VALID RESULT"));
}

TEST(PicturePng, IsAPicture) {
  const ReportData nothing;
  for (const Picture picture : kEveryPicture) {
    const auto png = picture_png(picture, example::report_data(), display_units(UnitSystem::si));

    ASSERT_TRUE(png.has_value());
    EXPECT_TRUE(png->starts_with("\x89PNG"));
    EXPECT_GT(png->size(), 5000U);
    EXPECT_TRUE(picture_png(picture, nothing, display_units(UnitSystem::si)).has_value());
  }
}

}  // namespace
}  // namespace leeward::daemon
