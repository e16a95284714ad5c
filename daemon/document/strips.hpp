#pragma once
/// Blocks cut into strips that a page break may fall between.

#include <functional>
#include <memory>
#include <vector>

#include "daemon/document/canvas.hpp"
#include "daemon/document/display_units.hpp"
#include "daemon/document/document_model.hpp"
#include "daemon/document/report_data.hpp"

namespace leeward::daemon {

struct Strip {
  double height = 0;
  double space_before = 0;       ///< left out at the top of a page
  bool stays_with_next = false;  ///< no page break right after it
  bool begins_page = false;
  std::function<void(Canvas&, Point)> draw;  ///< empty: only space
  std::shared_ptr<const Strip> head;         ///< drawn again above it where a page break comes before it
};

/// What the strips of a picture draw from; must outlive them.
struct StripSource {
  double width = 0;
  double picture_scale = 1;  ///< of heights
  const ReportData* data = nullptr;
  const DisplayUnits* units = nullptr;
};

[[nodiscard]] std::vector<Strip> strips_of(const Document& document, Canvas& canvas,
                                           const StripSource& source);

/// Strips of the larger kinds of block.
[[nodiscard]] std::vector<Strip> table_strips(const TableBlock& table, Canvas& canvas, double width);
[[nodiscard]] std::vector<Strip> facts_strips(const FactsBlock& block, Canvas& canvas, double width);
[[nodiscard]] std::vector<Strip> front_strips(const TitleBlock& block, Canvas& canvas, double width);
[[nodiscard]] std::vector<Strip> front_strips(const BannerBlock& block, Canvas& canvas, double width);
[[nodiscard]] std::vector<Strip> front_strips(const HeadlinesBlock& block, Canvas& canvas, double width);
[[nodiscard]] std::vector<Strip> front_strips(const SignatureBlock& block, Canvas& canvas, double width);

inline constexpr double kBodyText = 8;     ///< pt
inline constexpr double kSmallText = 7.5;  ///< pt, the smallest

}  // namespace leeward::daemon
