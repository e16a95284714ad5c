# The crew's page: bundled from TypeScript while building and embedded, so that the daemon needs no file beside it.
find_program(NODE_PROGRAM node REQUIRED)
find_program(NPM_PROGRAM npm REQUIRED)

set(page_dir ${CMAKE_SOURCE_DIR}/daemon/page)
set(page_out ${CMAKE_BINARY_DIR}/page)
file(GLOB page_sources CONFIGURE_DEPENDS ${page_dir}/src/* ${page_dir}/src/*/*)

add_custom_command(
  OUTPUT ${page_out}/modules
  COMMAND ${page_dir}/install_modules ${page_dir}
  COMMAND ${CMAKE_COMMAND} -E touch ${page_out}/modules
  DEPENDS ${page_dir}/install_modules ${page_dir}/package-lock.json
  COMMENT "Installing what the page is built from"
  VERBATIM)
add_custom_command(
  OUTPUT ${page_out}/page_bundle.cpp ${page_out}/pure.mjs
  COMMAND ${NODE_PROGRAM} ${page_dir}/build_page.mjs ${page_out}
  DEPENDS ${page_out}/modules ${page_dir}/build_page.mjs ${page_dir}/tsconfig.json ${page_sources}
  COMMENT "Bundling the page"
  VERBATIM)

leeward_room(daemon/page)
target_sources(leeward_daemon_page PRIVATE ${page_out}/page_bundle.cpp)
