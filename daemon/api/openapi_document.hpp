#pragma once
/// The description of the interface, as it is served. Its text is put together from daemon/api/openapi while
/// building.

#include <string_view>

namespace leeward::daemon {

/// OpenAPI 3.1, JSON.
[[nodiscard]] std::string_view openapi_document();

}  // namespace leeward::daemon
