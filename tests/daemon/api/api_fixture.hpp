#pragma once
/// Handlers over a plain backend and an empty folder of runs.

#include <gtest/gtest.h>
#include <stdlib.h>

#include <filesystem>

#include <nlohmann/json.hpp>

#include "daemon/api/router.hpp"
#include "tests/daemon/api/fake_backend.hpp"

namespace leeward::daemon {

class ApiFixture : public testing::Test {
 protected:
  ApiFixture()
      : folder_(make_folder()), router_({backend_, RunStore::open(folder_).value(), "test", &desk_}) {
    ::setenv("LEEWARD_CONFIG_DIR", LEEWARD_SOURCE_DIR "/config", 1);
  }
  ~ApiFixture() override { std::filesystem::remove_all(folder_); }

  ApiResponse ask(const std::string& method, const std::string& path, const std::string& body = {},
                  const std::string& type = "application/json") {
    ApiResponse got;
    int replies = 0;
    router_.handle({method, path, "", type, body}, [&](ApiResponse response) {
      got = std::move(response);
      ++replies;
    });
    EXPECT_EQ(replies, 1) << method << " " << path;
    return got;
  }
  static nlohmann::json json_of(const ApiResponse& response) { return nlohmann::json::parse(response.body); }

  /// Expects a problem about this field.
  void expect_problem(const ApiResponse& response, int status, const std::string& field) {
    EXPECT_EQ(response.status, status) << response.body;
    EXPECT_EQ(response.content_type, "application/problem+json");
    const nlohmann::json json = json_of(response);
    EXPECT_EQ(json.value("status", 0), status);
    EXPECT_EQ(json.value("field", ""), field) << response.body;
    EXPECT_FALSE(json.value("detail", "").empty());
  }

  static std::filesystem::path make_folder() {
    std::string pattern = (std::filesystem::temp_directory_path() / "leeward-api-XXXXXX").string();
    return ::mkdtemp(pattern.data());
  }

  AccessDesk desk_;
  FakeBackend backend_;
  std::filesystem::path folder_;
  Router router_;
};

}  // namespace leeward::daemon
