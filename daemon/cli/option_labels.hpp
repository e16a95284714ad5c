#pragma once
/// What stands for the value of an option in every help, and what a shell may complete there. For the files
/// that know the option parser.

#include <CLI/CLI.hpp>
#include <string>
#include <utility>
#include <vector>

namespace leeward::daemon {

// A label is one of these, words to choose from as "si|metric|ip", or several of them with "|" between.
inline constexpr const char* kFileLabel = "FILE";
inline constexpr const char* kFolderLabel = "DIR";
inline constexpr const char* kRunLabel = "RUN";
inline constexpr const char* kRunOrFileLabel = "RUN|FILE";
inline constexpr const char* kProcedureLabel = "PROCEDURE";
inline constexpr const char* kProcedureOrFileLabel = "PROCEDURE|FILE";
inline constexpr const char* kTargetsLabel = "TARGETS";
inline constexpr const char* kAskLabel = "ASK_ID";
inline constexpr const char* kAnswerLabel = "ANSWER";
inline constexpr const char* kCommandLabel = "COMMAND";
inline constexpr const char* kNumberLabel = "NUMBER";
inline constexpr const char* kTextLabel = "TEXT";

inline std::string words_label(const std::vector<std::string>& words) {
  std::string label;
  for (const std::string& word : words) label += (label.empty() ? "" : "|") + word;
  return label;
}

/// One of these words and nothing else.
inline CLI::Option* takes_words(CLI::Option* option, const std::vector<std::string>& words) {
  const auto check = [words](const std::string& text) -> std::string {
    for (const std::string& word : words)
      if (word == text) return {};
    return "must be " + words_label(words) + ", got " + text;
  };
  return option->check(CLI::Validator(check, "", "words"))->type_name(words_label(words));
}

/// The same for what stands for values of the program's own.
template <class T>
CLI::Option* takes_names(CLI::App* app, const std::string& name, T& value,
                         const std::vector<std::pair<std::string, T>>& names, const std::string& help) {
  std::vector<std::string> words;
  for (const auto& entry : names) words.push_back(entry.first);
  const auto put = [&value, names](const std::string& text) {
    for (const auto& [word, meant] : names)
      if (word == text) value = meant;
  };
  return takes_words(app->add_option_function<std::string>(name, put, help), words);
}

}  // namespace leeward::daemon
