#include <cairo.h>
#include <gtest/gtest.h>

#include "daemon/document/strips.hpp"

namespace leeward::daemon {
namespace {

TEST(TableStrips, RepeatTheNameOfTheGroupThatGoesOnOnANewPage) {
  cairo_surface_t* surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR, nullptr);
  cairo_t* cairo = cairo_create(surface);
  std::vector<Strip> strips;
  {
    Canvas canvas(cairo);
    TableBlock table;
    table.columns = {{"No.", "", CellAlign::left, 1}, {"Flow", "", CellAlign::left, 1}};
    table.rows = {{{"Depressurization"}, true}, {{"1", "900"}}, {{"Pressurization"}, true}, {{"1", "905"}}};
    strips = table_strips(table, canvas, 200);
  }
  cairo_destroy(cairo);
  cairo_surface_destroy(surface);

  ASSERT_EQ(strips.size(), 5U);
  const double plain = strips[0].height;
  EXPECT_EQ(strips[1].head->height, plain);
  EXPECT_GT(strips[2].head->height, plain);
  EXPECT_EQ(strips[3].head->height, plain);
  EXPECT_GT(strips[4].head->height, plain);
  EXPECT_NE(strips[2].head, strips[4].head);
}

}  // namespace
}  // namespace leeward::daemon
