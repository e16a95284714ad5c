#include "daemon/document/equipment.hpp"

#include "daemon/config/parse_toml.hpp"

namespace leeward::daemon {

namespace {

std::string text_of(const TomlNode* table, std::string_view key) {
  const TomlNode* node = table != nullptr ? table->find(key) : nullptr;
  if (node == nullptr) return {};
  if (node->kind == TomlNode::Kind::text) return node->text;
  return node->kind == TomlNode::Kind::integer ? std::to_string(node->integer) : std::string();
}

InstrumentNote note_of(const TomlNode* table) {
  return {text_of(table, "serial"), text_of(table, "calibrated")};
}

std::string connection_of(const TomlNode* device) {
  std::string out = text_of(device, "kind");
  const std::string host = text_of(device, "host");
  const std::string port = text_of(device, "port");
  if (!host.empty()) out += ", " + host + (port.empty() ? "" : ":" + port);
  return out;
}

void take_channels(const TomlNode& channels, Equipment& out) {
  for (const TomlNode& channel : channels.items) {
    const std::string name = text_of(&channel, "name");
    if (name == "building_pressure") out.building_pressure = note_of(&channel);
    if (name.starts_with("fan") && name.ends_with("_signal")) out.signals.push_back(note_of(&channel));
  }
}

}  // namespace

Equipment equipment_of(const std::string& rig_text) {
  Equipment out;
  Findings ignored("rig");
  const auto root = parse_toml(rig_text, ignored);
  if (!root) return out;
  out.rig = note_of(root->find("rig"));
  const TomlNode* device = root->find("device");
  out.connection = connection_of(device);
  if (const TomlNode* fans = root->find("fan"))
    for (const TomlNode& fan : fans->items) out.fans.push_back(note_of(&fan));
  const TomlNode* channels = device != nullptr ? device->find("channel") : nullptr;
  if (channels != nullptr) take_channels(*channels, out);
  return out;
}

}  // namespace leeward::daemon
