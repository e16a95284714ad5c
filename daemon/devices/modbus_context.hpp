#pragma once
/// A context of libmodbus over a socket that stays ours: we open and close, it speaks.

#include <memory>

#include "daemon/devices/unique_fd.hpp"

/// libmodbus's own. Its header stays out of ours, for it brings macros named ON, OFF and TRUE.
struct _modbus;

namespace leeward::daemon {

struct FreeModbusContext {
  void operator()(_modbus* context) const;
};
using ModbusContext = std::unique_ptr<_modbus, FreeModbusContext>;

/// The socket must outlive the use of the context; freeing the context leaves it open.
///
/// Errors   nothing when memory is out, or for a descriptor beyond what select(2) can watch, by which
///          libmodbus waits.
[[nodiscard]] ModbusContext modbus_context_over(const UniqueFd& socket);

}  // namespace leeward::daemon
