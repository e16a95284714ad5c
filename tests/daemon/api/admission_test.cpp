#include "daemon/api/admission.hpp"

#include "daemon/access/secret.hpp"
#include "tests/daemon/access/access_folder.hpp"

namespace leeward::daemon {

class AdmissionAtTheDoor : public AccessFolder {
 protected:
  AdmissionAtTheDoor() {
    EXPECT_TRUE(
        save_tokens(path("tokens.toml"), {{"phone", Role::operating, sha256_hex("phone-secret"), "x"},
                                          {"script", Role::operating, sha256_hex("script-secret"), "x"},
                                          {"wall", Role::viewer, sha256_hex("wall-secret"), "x"}}));
    desk_.gate = Gate::open(path("tokens.toml")).value();
  }
  int status(const RequestHead& head, Needs needs, double now_s = 0) {
    const Admission admission = admit(desk_, head, needs, {"box.local"}, now_s, 1'800'000'000);
    return admission.refusal ? admission.refusal->status : 200;
  }
  static RequestHead tcp(std::string_view authorization, std::string_view path = "/v1/hold") {
    return {.method = "POST",
            .path = path,
            .host = "box.local:80",
            .authorization = authorization,
            .address = "10.0.0.7",
            .is_tcp = true};
  }
  AccessDesk desk_;
};

TEST_F(AdmissionAtTheDoor, AsksForATokenAndTheRoleThatTheRouteNeeds) {
  EXPECT_EQ(status(tcp(""), Needs::reading), 401);
  EXPECT_EQ(status(tcp("Bearer wrong"), Needs::reading), 401);
  EXPECT_EQ(status(tcp("Bearer wall-secret"), Needs::reading), 200);
  EXPECT_EQ(status(tcp("Bearer wall-secret"), Needs::operating), 403);
  EXPECT_EQ(status(tcp("Bearer wall-secret"), Needs::helm), 403);
  EXPECT_EQ(status(tcp("Bearer phone-secret"), Needs::helm), 200);
  EXPECT_EQ(status(tcp(""), Needs::nothing), 200);
}

TEST_F(AdmissionAtTheDoor, OneHasTheHelmAnybodyMayStop) {
  EXPECT_EQ(status(tcp("Bearer phone-secret"), Needs::helm, 0), 200);

  EXPECT_EQ(status(tcp("Bearer script-secret"), Needs::helm, 1), 409);
  EXPECT_EQ(status(tcp("Bearer script-secret", "/v1/stop"), Needs::operating, 1), 200);
  EXPECT_EQ(status({.path = "/v1/hold", .local_user = "crew"}, Needs::helm, 1), 409);
  EXPECT_EQ(status(tcp("Bearer phone-secret"), Needs::reading, 9), 200);  // a sign of life
  EXPECT_EQ(status(tcp("Bearer script-secret"), Needs::helm, 15), 409);
  EXPECT_EQ(status(tcp("Bearer script-secret"), Needs::helm, 19.5), 200);
  EXPECT_EQ(status(tcp("Bearer phone-secret"), Needs::helm, 20), 409);
}

TEST_F(AdmissionAtTheDoor, RefusesForeignPagesAndNames) {
  RequestHead head = tcp("Bearer phone-secret");
  head.origin = "http://evil.example";
  EXPECT_EQ(status(head, Needs::helm), 403);
  head = tcp("Bearer phone-secret");
  head.host = "evil.example";
  EXPECT_EQ(status(head, Needs::helm), 421);
  EXPECT_EQ(status(head, Needs::nothing), 421);
}

TEST_F(AdmissionAtTheDoor, ACookieCommandsOnlyFromOurOwnPage) {
  const std::string cookie =
      "leeward_session=" + desk_.gate->session_of(*desk_.gate->find_token("phone-secret"), 1'800'000'000);
  RequestHead head = tcp("");
  head.cookie = cookie;

  EXPECT_EQ(status(head, Needs::helm), 403);
  head.origin = "http://box.local:80";
  EXPECT_EQ(status(head, Needs::helm), 200);
  head.origin = "";
  head.method = "GET";
  EXPECT_EQ(status(head, Needs::reading), 200);
}

TEST_F(AdmissionAtTheDoor, AFloodIsHeldBackButNeverAStop) {
  int refused = 0;
  for (int i = 0; i < 1000; ++i)
    refused += status(tcp("Bearer phone-secret"), Needs::reading, 0) == 429 ? 1 : 0;

  EXPECT_GT(refused, 800);
  EXPECT_EQ(status(tcp("Bearer phone-secret", "/v1/stop"), Needs::operating, 0), 200);
  EXPECT_EQ(status(tcp("Bearer wall-secret"), Needs::reading, 0), 200);
}

TEST_F(AdmissionAtTheDoor, GuessingIsSlowedThenStopped) {
  int tried = 0;
  for (int i = 0; i < 100; ++i) tried += status(tcp("Bearer guess"), Needs::reading, i * 0.01) == 401 ? 1 : 0;

  EXPECT_LE(tried, 12);
  EXPECT_EQ(status(tcp("Bearer phone-secret"), Needs::reading, 1), 200);
}

TEST_F(AdmissionAtTheDoor, TheUnixSocketIsTrustedByItsMode) {
  const Admission admission = admit(desk_, {.local_user = "crew"}, Needs::helm, {}, 0, 0);

  EXPECT_FALSE(admission.refusal);
  EXPECT_EQ(admission.caller.name, "local:crew");
  EXPECT_EQ(admission.caller.role, Role::operating);
}

}  // namespace leeward::daemon
