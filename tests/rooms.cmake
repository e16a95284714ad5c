find_package(GTest REQUIRED)
include(GoogleTest)

add_library(leeward_counted_new STATIC ${CMAKE_SOURCE_DIR}/tests/counted_new.cpp)
target_link_libraries(leeward_counted_new PUBLIC leeward_flags)

# One test program a folder, built as unity: the test files are many and small.
function(leeward_tests folder)
  cmake_parse_arguments(T "" "" "DEPS" ${ARGN})
  file(GLOB sources CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/tests/${folder}/*_test.cpp)
  if(NOT sources)
    return()
  endif()
  string(REPLACE "/" "_" name "test_${folder}")
  add_executable(${name} ${sources})
  set_target_properties(${name} PROPERTIES UNITY_BUILD ON UNITY_BUILD_BATCH_SIZE 8)
  list(TRANSFORM T_DEPS REPLACE "/" "_")
  list(TRANSFORM T_DEPS PREPEND "leeward_")
  target_link_libraries(${name} PRIVATE leeward_flags ${T_DEPS} leeward_counted_new GTest::gtest_main GTest::gmock)
  target_compile_definitions(${name} PRIVATE LEEWARD_SOURCE_DIR="${CMAKE_SOURCE_DIR}")
  if(TARGET leeward)
    target_compile_definitions(${name} PRIVATE LEEWARD_BINARY_BUILT="$<TARGET_FILE:leeward>")
    if(folder MATCHES "e2e")
      add_dependencies(${name} leeward)
    endif()
  endif()
  set(properties TIMEOUT 600)
  if(folder MATCHES "e2e|devices|rig|watchman|service|recorder|api|client")
    # Processes, sockets and deadlines: these run one at a time.
    list(APPEND properties LABELS process)
  endif()
  gtest_discover_tests(${name} DISCOVERY_TIMEOUT 60 PROPERTIES ${properties})
endfunction()

foreach(room physics signal regulate restriction guard analysis procedure)
  leeward_tests(control/${room} DEPS control/${room})
endforeach()
# The filter is tried on a twin that the regulator's forecast steps.
leeward_tests(control/estimate DEPS control/regulate)
leeward_tests(control DEPS control sim)
leeward_tests(sim DEPS sim)
leeward_tests(sim/campaign DEPS sim/campaign)
foreach(room words config devices recorder report document page client live_view access api rig watchman service tune campaign cli)
  leeward_tests(daemon/${room} DEPS daemon/${room})
endforeach()
leeward_tests(engine DEPS control sim sim/campaign daemon/config)
leeward_tests(e2e DEPS daemon/cli)
include(${CMAKE_SOURCE_DIR}/tests/fuzz/fuzz.cmake)

include(${CMAKE_SOURCE_DIR}/tests/page/page_tests.cmake)

# The interface as it is described against the interface as it answers. Debian's Python: its packages are not another's.
foreach(part contract access)
  add_test(NAME api_contract.${part} COMMAND /usr/bin/python3 -W ignore ${CMAKE_SOURCE_DIR}/tests/api-contract/${part}_test.py)
  set_tests_properties(api_contract.${part} PROPERTIES LABELS process TIMEOUT 300
    ENVIRONMENT "LEEWARD_BINARY=$<TARGET_FILE:leeward>")
endforeach()

# The command line as a person at a terminal meets it.
add_test(NAME cli.Watch COMMAND /usr/bin/python3 ${CMAKE_SOURCE_DIR}/tests/daemon/cli/watch_terminal_test.py)
add_test(NAME cli.Completion COMMAND ${CMAKE_SOURCE_DIR}/tests/daemon/cli/completion_test.bash)
set_tests_properties(cli.Watch cli.Completion PROPERTIES LABELS process TIMEOUT 300
  ENVIRONMENT "LEEWARD_BINARY=$<TARGET_FILE:leeward>")

# The examples for integrators are built and run as they stand.
add_executable(follow_test ${CMAKE_SOURCE_DIR}/scripts/examples/follow_test.cpp)
target_link_libraries(follow_test PRIVATE leeward_flags Boost::headers nlohmann_json::nlohmann_json Threads::Threads)
foreach(kind WholeTest Refusal)
  add_test(NAME examples.${kind}
    COMMAND /usr/bin/python3 -W ignore ${CMAKE_SOURCE_DIR}/tests/examples/examples_test.py ${kind})
  set_tests_properties(examples.${kind} PROPERTIES LABELS process TIMEOUT 900
    ENVIRONMENT "LEEWARD_BINARY=$<TARGET_FILE:leeward>;FOLLOW_TEST_BINARY=$<TARGET_FILE:follow_test>")
endforeach()

add_test(NAME layout.IncludesFollowTheRooms COMMAND ${CMAKE_SOURCE_DIR}/tests/layout/check-includes)
add_test(NAME layout.TheTopLevelHoldsWhatWasAgreed COMMAND ${CMAKE_SOURCE_DIR}/tests/layout/check-top-level)

# Large campaigns: built when they are asked for by name.
add_executable(coverage_campaign EXCLUDE_FROM_ALL ${CMAKE_SOURCE_DIR}/tests/campaign/coverage_campaign.cpp)
target_link_libraries(coverage_campaign PRIVATE leeward_control leeward_sim_campaign leeward_daemon_config)
add_executable(power_cut_campaign EXCLUDE_FROM_ALL ${CMAKE_SOURCE_DIR}/tests/campaign/power_cut_campaign.cpp)
target_link_libraries(power_cut_campaign PRIVATE leeward_daemon_recorder)
add_executable(diagnosis_campaign EXCLUDE_FROM_ALL ${CMAKE_SOURCE_DIR}/tests/campaign/diagnosis_campaign.cpp)
target_link_libraries(diagnosis_campaign PRIVATE leeward_control leeward_sim_campaign leeward_daemon_words)
add_executable(mishap_campaign EXCLUDE_FROM_ALL ${CMAKE_SOURCE_DIR}/tests/campaign/mishap_campaign.cpp)
target_link_libraries(mishap_campaign PRIVATE leeward_control leeward_sim_campaign leeward_daemon_words)
add_executable(restriction_campaign EXCLUDE_FROM_ALL ${CMAKE_SOURCE_DIR}/tests/campaign/restriction_campaign.cpp)
target_link_libraries(restriction_campaign PRIVATE leeward_control leeward_sim_campaign leeward_daemon_config)

if(LEEWARD_BENCH)
  find_package(benchmark REQUIRED)
  add_executable(bench_engine ${CMAKE_SOURCE_DIR}/tests/bench/engine_bench.cpp)
  target_link_libraries(bench_engine PRIVATE leeward_control leeward_sim benchmark::benchmark)
endif()
