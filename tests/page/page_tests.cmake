# The page in a real browser and its pure modules. Browser and modules are installed by scripts/install-packages
# and, once for each lock file, by the first of these tests.
set(page_tests_dir ${CMAKE_SOURCE_DIR}/tests/page)
add_test(NAME page.Modules COMMAND ${CMAKE_SOURCE_DIR}/daemon/page/install_modules ${page_tests_dir})
set_tests_properties(page.Modules PROPERTIES LABELS page FIXTURES_SETUP page_modules TIMEOUT 300)
foreach(name pure run resume views cut hour presence)
  add_test(NAME page.${name} COMMAND ${NODE_PROGRAM} --test ${page_tests_dir}/${name}_test.mjs)
  # Wall-clock processes and a browser: one at a time.
  set_tests_properties(page.${name} PROPERTIES LABELS page RUN_SERIAL ON TIMEOUT 900 FIXTURES_REQUIRED page_modules
    ENVIRONMENT "LEEWARD_BUILD=${CMAKE_BINARY_DIR};LEEWARD_BINARY=$<TARGET_FILE:leeward>")
endforeach()
