#pragma once
/// Lines, areas and text on any Cairo surface. Points from the top left corner, 72 to the inch.
///
/// Text is set in DejaVu Sans, without hinting, so that a line breaks at the same word on every surface.

#include <memory>
#include <string>
#include <vector>

using cairo_t = struct _cairo;

namespace leeward::daemon {

struct Point {
  double x = 0;
  double y = 0;
};
struct Size {
  double width = 0;
  double height = 0;
};
struct Rect {
  double x = 0;
  double y = 0;
  double width = 0;
  double height = 0;
  [[nodiscard]] double right() const { return x + width; }
  [[nodiscard]] double bottom() const { return y + height; }
};

enum class TextAlign : unsigned char { left, centre, right };
struct TextStyle {
  double size_pt = 8;
  bool is_bold = false;
  double grey = 0;   ///< 0 black, 1 white
  double width = 0;  ///< lines break here; 0: one line
  TextAlign align = TextAlign::left;
};

struct Stroke {
  double width = 0.6;
  double grey = 0;
  double dash = 0;  ///< length of dashes and gaps; 0: solid
};

enum class Marker : unsigned char { disc, square, diamond };

class Canvas {
 public:
  /// @param cairo  stays the caller's
  explicit Canvas(cairo_t* cairo);
  ~Canvas();
  Canvas(const Canvas&) = delete;
  Canvas& operator=(const Canvas&) = delete;

  [[nodiscard]] Size measure(const std::string& text, const TextStyle& style);
  /// @param at  top left corner; with an alignment and no width: top of that edge or of the middle
  Size text(Point at, const std::string& text, const TextStyle& style);
  /// Text turned to read upwards, its middle at `middle`.
  void upright_text(Point middle, const std::string& text, const TextStyle& style);

  void line(Point from, Point to, const Stroke& stroke);
  void polyline(const std::vector<Point>& points, const Stroke& stroke);
  void area(const std::vector<Point>& points, double grey);
  void fill(const Rect& rect, double grey);
  void frame(const Rect& rect, const Stroke& stroke);
  /// A disc is filled, a square and a diamond are open.
  void marker(Point at, Marker kind, double size);

  /// Until unclip() nothing is drawn outside.
  void clip(const Rect& rect);
  void unclip();

 private:
  struct Pango;
  void lay_out(const std::string& text, const TextStyle& style);
  void trace(const std::vector<Point>& points);
  void stroke(const Stroke& stroke);
  void grey(double level);
  cairo_t* cairo_;
  std::unique_ptr<Pango> pango_;
};

}  // namespace leeward::daemon
