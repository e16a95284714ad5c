#pragma once
/// The procedures and targets there are, as the files in the configuration folder say.

#include "daemon/api/api_context.hpp"

namespace leeward::daemon {

void get_openapi(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                 const Reply& reply);
void get_procedures(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                    const Reply& reply);
/// The whole procedure; 404 for a name that there is not.
void get_procedure(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                   const Reply& reply);
void get_targets(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                 const Reply& reply);

}  // namespace leeward::daemon
