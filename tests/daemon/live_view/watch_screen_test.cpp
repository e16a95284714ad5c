#include "daemon/live_view/watch_screen.hpp"

#include <gtest/gtest.h>

#include "daemon/live_view/screen_text.hpp"
#include "daemon/live_view/terminal_screen.hpp"
#include "tests/daemon/live_view/watch_fixture.hpp"

namespace leeward::daemon {
namespace {
std::string text_of(const std::vector<ScreenLine>& lines) {
  std::string text;
  for (const ScreenLine& line : lines) text += line.text + "\n";
  return text;
}

void expect_parts(const std::string& text, const std::vector<std::string>& parts) {
  for (const std::string& part : parts) EXPECT_NE(text.find(part), std::string::npos) << part << "\n" << text;
}
}  // namespace

TEST(WatchScreen, ShowsPhaseFiguresPlotEventsAndTheWayOut) {
  const std::string text = text_of(watch_screen(watched_run(), 80, 24, {}));

  expect_parts(
      text,
      {"Measuring at 50.2 Pa below outdoors", "wanted 50 Pa within 1 Pa", "12 s in this part",
       "about 100 s of the run", "nearly steady, 49.5 to 51.0 Pa", "q50 1400 m3/h (1380 to 1420)",
       "n 0.65 (0.60 to 0.70)", "62 % of full", "bore-290 fitted", "1800 m3/h", "Pa below outdoors", "now",
       "+1:00 At station 2, target 50 Pa", "Ctrl-C leaves, the run goes on. leeward stop stops the fan."});
}

TEST(WatchScreen, FitsIntoEveryTerminal) {
  WatchState state = watched_run();
  state.status["asks"] = {{{"id", "7"}, {"text", std::string(300, 'x')}, {"answers", {"done"}}}};
  state.status["trip"] = {{"text", "The pressure is too high"}};
  state.lost_since = "10:11:12";

  for (std::size_t width = 1; width <= 120; width += 7)
    for (std::size_t height = 0; height <= 50; ++height) {
      const auto lines = watch_screen(state, width, height, {});
      EXPECT_LE(lines.size(), height);
      for (const ScreenLine& line : lines) EXPECT_LE(letters_in(line.text), width) << line.text;
    }
}

TEST(WatchScreen, SaysWhatIsAskedAndHowToAnswerEvenWhenThereIsLittleRoom) {
  WatchState state = watched_run();
  state.status["asks"] = {{{"id", "7"}, {"text", "Fit bore-165 into fan 1."}, {"answers", {"done", "keep"}}}};

  for (const std::size_t height : {8U, 20U, 24U})
    expect_parts(text_of(watch_screen(state, 80, height, {true, " --socket /s"})),
                 {"ASKED: Fit bore-165 into fan 1.", "leeward answer 7 done|keep --socket /s"});
}

TEST(WatchScreen, GreysWithoutContactAndSaysSinceWhen) {
  WatchState state = watched_run();
  state.lost_since = "10:11:12";

  const auto lines = watch_screen(state, 80, 24, {});

  expect_parts(text_of(lines), {"NO CONTACT since 10:11:12"});
  for (const ScreenLine& line : lines) EXPECT_TRUE(line.look == Look::faint || line.look == Look::alert);
}

TEST(WatchScreen, SaysATripInWordsWithTheNextStep) {
  WatchState state = watched_run();
  state.status["trip"] = {{"text", "The reading has stopped moving"}};

  expect_parts(text_of(watch_screen(state, 80, 24, {})),
               {"TRIPPED: The reading has stopped moving", "leeward clear-trip"});
}

TEST(WatchScreen, DrawsInPlainAsciiWhereTheTerminalHasNothingElse) {
  const std::string text = text_of(watch_screen(watched_run(), 40, 20, {false, {}}));

  for (const char c : text) EXPECT_TRUE(c == '\n' || (c >= ' ' && c <= '~'));
  expect_parts(text, {"*****", "-----", "--: plan"});
}

TEST(WatchScreen, LetsNoNameCommandTheTerminal) {
  WatchState state = watched_run();
  state.status["sentence"] = "a\033[2Jb\xC2\x9Bz\x7F";
  state.events.push_back({70, "x\033]0;title\007"});

  for (const ScreenLine& line : watch_screen(state, 80, 24, {}))
    for (const char c : line.text) EXPECT_TRUE(static_cast<unsigned char>(c) >= 0x20 && c != 0x7F);
}

TEST(WatchScreen, LivesWithNothingKnown) {
  EXPECT_FALSE(watch_screen(WatchState{}, 80, 24, {}).empty());
  WatchState odd;
  odd.status = {{"fans", 3}, {"plan", "x"}, {"asks", {1, nullptr}}, {"estimates", nullptr}, {"trip", 4}};
  EXPECT_FALSE(watch_screen(odd, 80, 24, {}).empty());
}

TEST(Drawn, UsesNoColourWhenNoneIsWanted) {
  const std::vector<ScreenLine> lines{{"a", Look::alert}, {"b", Look::asked}, {"c", Look::strong}};

  EXPECT_NE(drawn(lines, true).find("31m"), std::string::npos);
  for (const char* colour : {"31m", "36m"}) EXPECT_EQ(drawn(lines, false).find(colour), std::string::npos);
}

TEST(ScreenText, BreaksAtBlanksAndCutsLettersNotBytes) {
  EXPECT_EQ(lines_of("one two three", 7, 9), (std::vector<std::string>{"one two", "three"}));
  EXPECT_EQ(lines_of("one two three four", 7, 2), (std::vector<std::string>{"one two", "three.."}));
  EXPECT_EQ(lines_of("abcdefgh", 3, 9), (std::vector<std::string>{"abc", "def", "gh"}));
  EXPECT_EQ(cut_to("\u00e4\u00f6\u00fc", 2), "\u00e4\u00f6");
  EXPECT_EQ(as_many_as_fit({"one", "two", "three"}, 8), "one, two");
}

}  // namespace leeward::daemon
