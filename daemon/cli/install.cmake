# The program describes itself: manual page and completion come from the options that it parses by.
include(GNUInstallDirs)
set(described ${CMAKE_BINARY_DIR}/share)
add_custom_command(
  OUTPUT ${described}/leeward.1 ${described}/leeward.bash
  COMMAND ${CMAKE_COMMAND} -E make_directory ${described}
  COMMAND $<TARGET_FILE:leeward> help --man > ${described}/leeward.1
  COMMAND $<TARGET_FILE:leeward> help --completion bash > ${described}/leeward.bash
  DEPENDS leeward VERBATIM)
add_custom_target(leeward_described ALL DEPENDS ${described}/leeward.1 ${described}/leeward.bash)

install(TARGETS leeward RUNTIME)
install(FILES ${described}/leeward.1 DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES ${described}/leeward.bash DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions RENAME leeward)
# Where the installed program looks for procedures and targets.
install(DIRECTORY ${CMAKE_SOURCE_DIR}/config/ DESTINATION ${CMAKE_INSTALL_DATADIR}/leeward)
