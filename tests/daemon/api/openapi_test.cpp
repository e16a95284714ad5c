#include <gtest/gtest.h>

#include <map>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "daemon/api/openapi_document.hpp"
#include "daemon/api/router.hpp"

namespace leeward::daemon {
namespace {
using nlohmann::json;

const char* needs_word(Needs needs) {
  switch (needs) {
    case Needs::nothing:
      return "nothing";
    case Needs::reading:
      return "reading";
    case Needs::operating:
      return "operating";
    case Needs::helm:
      return "helm";
  }
  return "";
}

/// "GET /v1/runs/*" and what it needs, from the document.
std::map<std::string, std::string> described_operations() {
  std::map<std::string, std::string> out;
  const json document = json::parse(openapi_document());
  for (const auto& [path, operations] : document.at("paths").items()) {
    std::string pattern = path;
    const std::size_t open = pattern.find('{');
    if (open != std::string::npos) pattern.replace(open, pattern.find('}') - open + 1, "*");
    for (const auto& [method, operation] : operations.items()) {
      std::string key = method;
      for (char& c : key) c = static_cast<char>(c - 'a' + 'A');
      out[key + " " + pattern] = operation.at("x-needs").get<std::string>();
    }
  }
  return out;
}

/// Collects every `$ref` of the document.
void references(const json& node, std::vector<std::string>& out) {
  if (node.is_object() && node.contains("$ref")) out.push_back(node["$ref"].get<std::string>());
  if (node.is_structured())
    for (const json& part : node) references(part, out);
}

TEST(OpenApiDocument, NamesEveryRouteAndWhatItNeeds) {
  std::map<std::string, std::string> routes;
  for (const RouteName& route : Router::routes())
    routes[std::string(route.method) + " " + std::string(route.pattern)] = needs_word(route.needs);
  // These two keep their connection, so the session starts them beside the router.
  routes["GET /v1/stream"] = "reading";
  routes["GET /v1/live"] = "reading";

  EXPECT_EQ(described_operations(), routes);
}

TEST(OpenApiDocument, RefersOnlyToWhatItHolds) {
  const json document = json::parse(openapi_document());

  std::vector<std::string> all;
  references(document, all);

  EXPECT_GT(all.size(), 100U);
  for (const std::string& reference : all)
    EXPECT_TRUE(document.contains(json::json_pointer(reference.substr(1)))) << reference;
}

TEST(OpenApiDocument, TakesNoUnknownMemberAnywhere) {
  const json document = json::parse(openapi_document());

  for (const auto& [name, schema] : document.at("components").at("schemas").items()) {
    const bool is_object = schema.value("type", json()) == "object";
    EXPECT_TRUE(!is_object || schema.contains("additionalProperties")) << name;
  }
}

}  // namespace
}  // namespace leeward::daemon
