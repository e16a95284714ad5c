leeward_room(daemon/words DEPS control LIBS nlohmann_json::nlohmann_json)
leeward_room(daemon/config DEPS control sim sim/campaign LIBS PkgConfig::TOMLPLUSPLUS)
leeward_room(daemon/devices DEPS control sim daemon/config LIBS PkgConfig::MODBUS Threads::Threads)
leeward_room(daemon/recorder DEPS control daemon/words LIBS SQLite::SQLite3 Threads::Threads)
leeward_room(daemon/report DEPS control daemon/words daemon/recorder)
leeward_room(daemon/document DEPS control daemon/words daemon/config daemon/recorder daemon/report
  LIBS PkgConfig::PANGOCAIRO)
include(${CMAKE_SOURCE_DIR}/daemon/page/page.cmake)
leeward_room(daemon/client LIBS Boost::headers nlohmann_json::nlohmann_json Threads::Threads)
leeward_room(daemon/access DEPS control daemon/config daemon/recorder LIBS PkgConfig::GLIB)
leeward_room(daemon/api DEPS control daemon/page daemon/access daemon/words daemon/config daemon/recorder daemon/report daemon/document
  LIBS Boost::headers Threads::Threads prometheus-cpp::core)
include(${CMAKE_SOURCE_DIR}/daemon/api/openapi.cmake)
leeward_room(daemon/rig DEPS sim daemon/config daemon/devices daemon/client LIBS PkgConfig::MODBUS Threads::Threads)
leeward_room(daemon/service DEPS control daemon/devices daemon/recorder daemon/api daemon/client LIBS spdlog::spdlog Threads::Threads)
leeward_room(daemon/tune DEPS control sim daemon/config daemon/words)
leeward_room(daemon/campaign DEPS sim/campaign daemon/words daemon/config daemon/document LIBS Threads::Threads)
leeward_room(daemon/cli DEPS daemon/service daemon/tune daemon/rig daemon/client daemon/report daemon/document
  daemon/campaign LIBS PkgConfig::QRENCODE)

if(EXISTS ${CMAKE_SOURCE_DIR}/daemon/main.cpp)
  add_executable(leeward ${CMAKE_SOURCE_DIR}/daemon/main.cpp)
  target_link_libraries(leeward PRIVATE leeward_daemon_cli)
endif()
