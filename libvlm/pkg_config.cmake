# Installs NAME.pc for pkg-config. It finds the files from where it lies, so that the prefix may be moved.
function(vlm_install_pkg_config name description libs requires)
  set(dir ${CMAKE_INSTALL_LIBDIR}/pkgconfig)
  file(RELATIVE_PATH to_prefix /${dir} /)
  string(REGEX REPLACE "/$" "" to_prefix ${to_prefix})
  configure_file(${CMAKE_CURRENT_FUNCTION_LIST_DIR}/pkgconfig.pc.in ${name}.pc @ONLY)
  install(FILES ${CMAKE_CURRENT_BINARY_DIR}/${name}.pc DESTINATION ${dir})
endfunction()
