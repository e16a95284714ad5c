#pragma once
/// The commands: zero-flow pressure, hold, climb, experiment with the drive, sign of life, go on, stop, clear
/// a trip.

#include <functional>

#include "daemon/api/api_context.hpp"

namespace leeward::daemon {

void post_baseline(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                   const Reply& reply);
void post_hold(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
               const Reply& reply);
void post_climb(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                const Reply& reply);
void post_rig_learn(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                    const Reply& reply);
void post_continue(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                   const Reply& reply);
void post_presence(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                   const Reply& reply);
void post_stop(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
               const Reply& reply);
void post_clear_trip(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                     const Reply& reply);

/// Hands a request to the engine; whatever keeps it from being accepted is answered here.
void submit_and_reply(const ApiContext& context, const control::Request& command, const Reply& reply,
                      const std::function<ApiResponse(const SubmitOutcome&)>& when_accepted);

}  // namespace leeward::daemon
