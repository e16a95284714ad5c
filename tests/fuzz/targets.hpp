#pragma once
/// Everything that is fuzzed. A target takes any bytes, keeps no state from one call to the next, and throws
/// where a promise is broken.

#include <array>

#include "tests/fuzz/bytes.hpp"

namespace leeward::fuzz {

void engine(Bytes bytes);           ///< samples and requests in any order, a crude house between them
void config_files(Bytes bytes);     ///< a TOML file of any of our kinds, then used
void http_requests(Bytes bytes);    ///< a request as it comes off the socket, to the routes and back
void modbus_answers(Bytes bytes);   ///< what a device sends, through client, plan and codec to a sample
void modbus_requests(Bytes bytes);  ///< what a client sends to the serving end
void register_words(Bytes bytes);   ///< register words and values, the plan of what is read
void recordings(Bytes bytes);       ///< a recording with bytes or cells spoilt: checked, read, replayed
void station_tables(Bytes bytes);   ///< a CSV table and its analysis
void small_texts(Bytes bytes);      ///< cookies, hosts, event ids, event streams, live messages

struct TargetName {
  const char* name;
  void (*run)(Bytes);
  int mutations;  ///< that the short run of the tests makes
};

inline constexpr std::array kTargets{
    TargetName{"engine", engine, 150},
    TargetName{"config_files", config_files, 1500},
    TargetName{"http_requests", http_requests, 3000},
    TargetName{"modbus_answers", modbus_answers, 1500},
    TargetName{"modbus_requests", modbus_requests, 5000},
    TargetName{"register_words", register_words, 20000},
    TargetName{"recordings", recordings, 80},
    TargetName{"station_tables", station_tables, 2000},
    TargetName{"small_texts", small_texts, 20000},
};

}  // namespace leeward::fuzz
