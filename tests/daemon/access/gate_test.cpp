#include "daemon/access/gate.hpp"

#include <fstream>

#include "daemon/access/secret.hpp"
#include "daemon/access/session_cookie.hpp"
#include "tests/daemon/access/access_folder.hpp"

namespace leeward::daemon {
namespace {
constexpr std::int64_t kNow = 1'800'000'000;

TokenRecord gate_record(const std::string& name, Role role, const std::string& secret) {
  return {name, role, sha256_hex(secret), "2026-11-25T10:00:00Z"};
}
}  // namespace

class GateOnTcp : public AccessFolder {
 protected:
  GateOnTcp() {
    EXPECT_TRUE(save_tokens(path("tokens.toml"), {gate_record("phone", Role::operating, "phone-secret"),
                                                  gate_record("wall", Role::viewer, "wall-secret")}));
  }
  Gate open() { return Gate::open(path("tokens.toml")).value(); }
  static std::optional<Caller> by_token(Gate& gate, const std::string& secret) {
    return gate.identify("Bearer " + secret, "", kNow);
  }
  static std::optional<Caller> by_cookie(Gate& gate, const std::string& value, std::int64_t now = kNow) {
    return gate.identify("", "theme=dark; leeward_session=" + value + "; other=1", now);
  }
};

TEST_F(GateOnTcp, KnowsATokenByItsHash) {
  Gate gate = open();

  ASSERT_TRUE(by_token(gate, "phone-secret"));
  EXPECT_EQ(by_token(gate, "phone-secret")->name, "phone");
  EXPECT_EQ(by_token(gate, "phone-secret")->role, Role::operating);
  EXPECT_EQ(by_token(gate, "wall-secret")->role, Role::viewer);
  EXPECT_FALSE(by_token(gate, "phone-secret "));
  EXPECT_FALSE(by_token(gate, sha256_hex("phone-secret")));
  EXPECT_FALSE(by_token(gate, ""));
  EXPECT_FALSE(gate.identify("phone-secret", "", kNow));
  EXPECT_FALSE(gate.identify("Basic phone-secret", "", kNow));
  EXPECT_TRUE(gate.identify("bearer phone-secret", "", kNow));
}

TEST_F(GateOnTcp, ASessionOutlivesARestartAndEndsWithItsToken) {
  Gate gate = open();
  const std::string value = gate.session_of(*gate.find_token("phone-secret"), kNow);

  Gate again = open();
  ASSERT_TRUE(by_cookie(again, value));
  EXPECT_TRUE(by_cookie(again, value)->by_cookie);
  EXPECT_FALSE(by_cookie(again, value, kNow + kSessionSeconds));

  ASSERT_TRUE(save_tokens(path("tokens.toml"), {gate_record("phone", Role::operating, "another-secret")}));
  EXPECT_FALSE(by_cookie(again, value));
}

TEST_F(GateOnTcp, AForgedSessionHoldsNothing) {
  Gate gate = open();
  const std::string value = gate.session_of(*gate.find_token("wall-secret"), kNow);
  const std::string signature = value.substr(value.rfind('.') + 1);

  std::string other_name = value;
  other_name.replace(0, 4, "phone");
  EXPECT_TRUE(by_cookie(gate, value));
  EXPECT_FALSE(by_cookie(gate, other_name));
  EXPECT_FALSE(by_cookie(gate, "wall.99999999999." + signature));
  for (const char* broken : {"", ".", "..", "wall", "wall.", "wall..", "wall.x.y", "wall.1800000001."})
    EXPECT_FALSE(by_cookie(gate, broken)) << broken;
}

TEST_F(GateOnTcp, TakesInWhatIsMadeAndRevokedMeanwhile) {
  Gate gate = open();
  EXPECT_FALSE(by_token(gate, "new-secret"));

  ASSERT_TRUE(save_tokens(path("tokens.toml"), {gate_record("new", Role::viewer, "new-secret")}));

  EXPECT_TRUE(by_token(gate, "new-secret"));
  EXPECT_FALSE(by_token(gate, "phone-secret"));
}

TEST_F(GateOnTcp, AFileThatHasBecomeWrongLetsNobodyIn) {
  Gate gate = open();
  EXPECT_TRUE(by_token(gate, "phone-secret"));

  std::ofstream(path("tokens.toml"), std::ios::app) << "nonsense";

  EXPECT_FALSE(by_token(gate, "phone-secret"));
  EXPECT_FALSE(Gate::open(path("tokens.toml")).has_value());
}

TEST_F(GateOnTcp, TheKeyOfSessionsIsPrivateAndLong) {
  (void)open();

  EXPECT_EQ(private_file_state(path("tokens.toml.session-key")).fault, PrivateFault::none);
  ASSERT_TRUE(write_private_file(path("tokens.toml.session-key"), "short\n"));
  EXPECT_FALSE(Gate::open(path("tokens.toml")).has_value());
}

TEST(CookieValue, FindsItsOwnAmongOthers) {
  EXPECT_EQ(cookie_value("a=1; leeward_session=x.y", "leeward_session"), "x.y");
  EXPECT_EQ(cookie_value("leeward_session=", "leeward_session"), "");
  EXPECT_EQ(cookie_value("xleeward_session=1;leeward_session2=2", "leeward_session"), "");
  EXPECT_EQ(cookie_value(";;; ;", "leeward_session"), "");
}

TEST(SetCookieText, IsOutOfReachOfScriptsAndOtherSites) {
  const std::string text = set_cookie_text("v", 5, false);

  EXPECT_EQ(text, "leeward_session=v; Path=/; HttpOnly; SameSite=Strict; Max-Age=5");
  EXPECT_TRUE(set_cookie_text("v", 5, true).ends_with("; Secure"));
}

}  // namespace leeward::daemon
