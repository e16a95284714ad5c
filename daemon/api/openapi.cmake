# The OpenAPI document is written in parts, which are put together and embedded while building.
set(openapi_parts ${CMAKE_SOURCE_DIR}/daemon/api/openapi)
set(openapi_out ${CMAKE_BINARY_DIR}/openapi)
file(GLOB openapi_files CONFIGURE_DEPENDS ${openapi_parts}/*.json ${openapi_parts}/*/*.json)

add_custom_command(
  OUTPUT ${openapi_out}/openapi_document.cpp ${openapi_out}/openapi.json
  COMMAND ${CMAKE_COMMAND} -D PARTS=${openapi_parts} -D OUT=${openapi_out} -P ${openapi_parts}/assemble.cmake
  DEPENDS ${openapi_parts}/assemble.cmake ${openapi_files}
  COMMENT "Putting the OpenAPI document together"
  VERBATIM)
target_sources(leeward_daemon_api PRIVATE ${openapi_out}/openapi_document.cpp)
