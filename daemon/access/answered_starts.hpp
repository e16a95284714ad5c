#pragma once
/// Answers by idempotency key: a start that is sent again, because its answer got lost, starts nothing.

#include <cstddef>
#include <cstdint>
#include <deque>
#include <string>

namespace leeward::daemon {

enum class KeyState : std::uint8_t {
  fresh,       ///< not seen before; it is now taken
  under_way,   ///< the first one has no answer yet
  answered,    ///< the same request: give `answer` again
  other_body,  ///< the key was used for another request
};

/// Answers are kept as the caller wants them; the newest 64 keys are remembered.
template <class Answer>
class AnsweredStarts {
 public:
  static constexpr std::size_t kMost = 64;

  struct Known {
    KeyState state = KeyState::fresh;
    const Answer* answer = nullptr;
  };
  /// @param caller, key  together name the request; @param body  what it asked for
  Known begin(const std::string& caller, const std::string& key, const std::string& body) {
    for (const Entry& entry : entries_) {
      if (entry.caller != caller || entry.key != key) continue;
      if (entry.body != body) return {KeyState::other_body, nullptr};
      return entry.is_answered ? Known{KeyState::answered, &entry.answer}
                               : Known{KeyState::under_way, nullptr};
    }
    entries_.push_back({caller, key, body, false, {}});
    if (entries_.size() > kMost) entries_.pop_front();
    return {};
  }
  void answered(const std::string& caller, const std::string& key, const Answer& answer) {
    for (Entry& entry : entries_)
      if (entry.caller == caller && entry.key == key) {
        entry.is_answered = true;
        entry.answer = answer;
      }
  }
  /// The request came to nothing: the key is free again.
  void forget(const std::string& caller, const std::string& key) {
    std::erase_if(entries_, [&](const Entry& entry) { return entry.caller == caller && entry.key == key; });
  }

 private:
  struct Entry {
    std::string caller;
    std::string key;
    std::string body;
    bool is_answered = false;
    Answer answer{};
  };
  std::deque<Entry> entries_;
};

}  // namespace leeward::daemon
