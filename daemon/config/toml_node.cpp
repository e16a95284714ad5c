#include "daemon/config/toml_node.hpp"

namespace leeward::daemon {

const TomlNode* TomlNode::find(std::string_view key) const {
  for (const TomlMember& member : members)
    if (member.key == key) return &member.value;
  return nullptr;
}

std::string_view kind_text(TomlNode::Kind kind) {
  switch (kind) {
    case TomlNode::Kind::table:
      return "a table";
    case TomlNode::Kind::array:
      return "an array";
    case TomlNode::Kind::text:
      return "a text";
    case TomlNode::Kind::number:
      return "a number";
    case TomlNode::Kind::integer:
      return "a whole number";
    case TomlNode::Kind::boolean:
      return "true or false";
    case TomlNode::Kind::date_or_time:
      break;
  }
  return "a date or time";
}

}  // namespace leeward::daemon
