# The targets as a library: the tests link all of them, the fuzzer one each.
file(GLOB fuzz_sources CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/tests/fuzz/*.cpp)
list(FILTER fuzz_sources EXCLUDE REGEX "(_test|/fuzzer_entry)\\.cpp$")
add_library(leeward_fuzz_targets STATIC ${fuzz_sources})
target_link_libraries(leeward_fuzz_targets PUBLIC leeward_flags leeward_control leeward_sim leeward_daemon_config
  leeward_daemon_devices leeward_daemon_recorder leeward_daemon_report leeward_daemon_api leeward_daemon_client)
target_compile_definitions(leeward_fuzz_targets PRIVATE LEEWARD_SOURCE_DIR="${CMAKE_SOURCE_DIR}")

if(LEEWARD_FUZZ)
  # One long text, generated; clang warns where g++ does not.
  set_source_files_properties(${CMAKE_BINARY_DIR}/openapi/openapi_document.cpp PROPERTIES
    COMPILE_OPTIONS -Wno-overlength-strings)
  # Target by target, so that no fuzzer carries what it never reaches.
  set_target_properties(leeward_fuzz_targets PROPERTIES UNITY_BUILD OFF)
  file(GLOB fuzz_targets RELATIVE ${CMAKE_SOURCE_DIR}/tests/fuzz ${CMAKE_SOURCE_DIR}/tests/fuzz/*_target.cpp)
  foreach(source ${fuzz_targets})
    string(REGEX REPLACE "_target.cpp$" "" name ${source})
    add_executable(fuzz_${name} ${CMAKE_SOURCE_DIR}/tests/fuzz/fuzzer_entry.cpp)
    set_target_properties(fuzz_${name} PROPERTIES UNITY_BUILD OFF)
    target_compile_definitions(fuzz_${name} PRIVATE LEEWARD_FUZZ_TARGET=${name})
    target_link_libraries(fuzz_${name} PRIVATE leeward_fuzz_targets)
    target_link_options(fuzz_${name} PRIVATE -fsanitize=fuzzer)
  endforeach()
else()
  leeward_tests(fuzz DEPS fuzz_targets)
endif()
