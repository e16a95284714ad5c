#include "daemon/devices/modbus_context.hpp"

#include <modbus/modbus.h>
#include <sys/select.h>

namespace leeward::daemon {

void FreeModbusContext::operator()(_modbus* context) const { modbus_free(context); }

ModbusContext modbus_context_over(const UniqueFd& socket) {
  if (!socket.valid() || socket.get() >= FD_SETSIZE) return nullptr;
  ModbusContext context(modbus_new_tcp(nullptr, 0));
  if (context) modbus_set_socket(context.get(), socket.get());
  return context;
}

}  // namespace leeward::daemon
