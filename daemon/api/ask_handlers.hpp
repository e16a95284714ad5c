#pragma once
/// The open questions to the crew, and their answers.

#include "daemon/api/api_context.hpp"

namespace leeward::daemon {

void get_asks(const ApiContext& context, const ApiRequest& request, const PathArgs& args, const Reply& reply);
/// Body {"answer": "done"}. Errors 404 unknown ask, 409 answered already, 422 an answer it does not take.
void post_ask(const ApiContext& context, const ApiRequest& request, const PathArgs& args, const Reply& reply);

}  // namespace leeward::daemon
