# programs.cmake - test, fuzz, bench and claims programs, each found by its folder.
# SPDX-License-Identifier: GPL-3.0-or-later

# One program per FOLDER/*.c, named PREFIX_x.
function(bw_plain_programs folder prefix)
  file(GLOB files CONFIGURE_DEPENDS ${folder}/*.c)
  foreach(file ${files})
    get_filename_component(stem ${file} NAME_WE)
    string(REGEX REPLACE "^${prefix}_" "" stem ${stem})
    add_executable(${prefix}_${stem} ${file})
    target_link_libraries(${prefix}_${stem} beltwright_core)
  endforeach()
endfunction()

# What several test programs share (tests/support/), linked into every one that uses it.
function(bw_test_support)
  file(GLOB files CONFIGURE_DEPENDS tests/support/*.c)
  add_library(test_support STATIC ${files})
  target_include_directories(test_support PUBLIC tests)
  target_link_libraries(test_support PUBLIC beltwright_web beltwright_cli beltwright_profile
    PkgConfig::CMOCKA)
endfunction()

# One cmocka program per tests/KIND/test_x.c, named PREFIX_x; other .c files there are linked into
# each.
function(bw_test_programs kind prefix)
  file(GLOB files CONFIGURE_DEPENDS tests/${kind}/*.c)
  set(tests ${files})
  set(helpers ${files})
  list(FILTER tests INCLUDE REGEX "/test_[^/]*$")
  list(FILTER helpers EXCLUDE REGEX "/test_[^/]*$")
  foreach(file ${tests})
    get_filename_component(stem ${file} NAME_WE)
    string(REGEX REPLACE "^test_" "${prefix}_" name ${stem})
    add_executable(${name} ${file} ${helpers})
    target_link_libraries(${name} test_support)
    add_test(NAME ${name} COMMAND ${name} WORKING_DIRECTORY ${PROJECT_SOURCE_DIR})
    set_tests_properties(${name} PROPERTIES LABELS ${kind})
  endforeach()
endfunction()

# Each tests/fuzz/fuzz_x.c twice: replay_x runs the corpus without a fuzzer; fuzz_x is live.
function(bw_fuzz_programs)
  file(GLOB files CONFIGURE_DEPENDS tests/fuzz/fuzz_*.c)
  foreach(file ${files})
    get_filename_component(name ${file} NAME_WE)
    string(REGEX REPLACE "^fuzz_" "replay_" replay ${name})
    add_executable(${replay} ${file} tests/fuzz/replay.c)
    target_include_directories(${replay} PRIVATE tools)
    target_link_libraries(${replay} test_support)
    string(REGEX REPLACE "^fuzz_" "" corpus ${name})
    add_test(NAME ${replay} COMMAND ${replay} ${PROJECT_SOURCE_DIR}/tests/fuzz/corpus/${corpus})
    set_tests_properties(${replay} PROPERTIES LABELS fuzz)
    if(BW_FUZZ)
      add_executable(${name} ${file})
      target_link_libraries(${name} test_support)
      target_link_options(${name} PRIVATE -fsanitize=fuzzer)
    endif()
  endforeach()
endfunction()

# What ./test itself needs: the runner of command-line cases and the toy program they
# use, the style check, the comma locale.
function(bw_test_tools)
  add_executable(run_cli tests/cli/run_cli.c)
  target_include_directories(run_cli PRIVATE tools)
  target_link_libraries(run_cli beltwright_core)
  add_executable(beltwright-toy tests/cli/toy_main.c tests/house/toy.c)
  target_include_directories(beltwright-toy PRIVATE tests)
  target_link_libraries(beltwright-toy beltwright_cli)
  file(GLOB style CONFIGURE_DEPENDS tools/style/*.c)
  add_executable(check_style ${style})
  target_include_directories(check_style PRIVATE tools)
  target_link_libraries(check_style beltwright_core)
  add_library(comma_locale SHARED tests/locale/comma_locale.c)
endfunction()
