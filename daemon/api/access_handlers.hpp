#pragma once
/// Who one is, and who has the helm.

#include <nlohmann/json_fwd.hpp>

#include "daemon/api/api_context.hpp"

namespace leeward::daemon {

/// {"holder", "silent_s", "freed_after_s"}; null in the first two while nobody has it.
[[nodiscard]] nlohmann::json helm_json(const Helm& helm, double now_s);
/// The same with "is_yours".
[[nodiscard]] nlohmann::json helm_json(const Helm& helm, const Caller& caller, double now_s);

void get_session(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                 const Reply& reply);
/// Body {"token"}: gives the cookie. Errors 401 a token that is not known, 429 after too many of them.
void post_session(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                  const Reply& reply);
/// Takes the cookie back. 204.
void delete_session(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                    const Reply& reply);

/// Body {}: takes a free helm; {"to": NAME}: hands it over. Errors 409 when another has it.
void post_helm(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
               const Reply& reply);
void delete_helm(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                 const Reply& reply);

}  // namespace leeward::daemon
