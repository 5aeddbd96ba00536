# flags.cmake - how everything is compiled, and the switches the presets set.
# SPDX-License-Identifier: GPL-3.0-or-later

option(BW_WERROR "warnings are errors" ON)
option(BW_SANITIZE "address and undefined-behaviour sanitizers" OFF)
option(BW_COVERAGE "count lines and branches" OFF)
option(BW_FUZZ "build live fuzz programs (clang)" OFF)
option(BW_BENCH "build the bench programs" OFF)

if(NOT CMAKE_BUILD_TYPE)
  set(CMAKE_BUILD_TYPE Release CACHE STRING "" FORCE)
endif()
set(CMAKE_C_FLAGS_RELEASE "-O2")  # without NDEBUG: a broken invariant stops the program here too
set(CMAKE_C_FLAGS_DEBUG "-Og -g")
set(CMAKE_C_STANDARD 17)
set(CMAKE_C_STANDARD_REQUIRED ON)
set(CMAKE_C_EXTENSIONS OFF)
set(CMAKE_POSITION_INDEPENDENT_CODE ON)  # the static library is also part of the shared one
set(CMAKE_EXPORT_COMPILE_COMMANDS ON)

include_directories(src include)
add_compile_definitions(_XOPEN_SOURCE=700 BELTWRIGHT_VERSION="${PROJECT_VERSION}")
add_compile_options(-Wall -Wextra -Wconversion -Wshadow -Wstrict-prototypes -Wmissing-prototypes
  -Wformat=2 $<$<BOOL:${BW_WERROR}>:-Werror>)
# gcc alone: clang takes the C library's NAN, a float, for a slip wherever a double is set to it.
add_compile_options($<$<C_COMPILER_ID:GNU>:-Wdouble-promotion>)
# At -O2 gcc does not see that an output is set whenever the call said so; clang does not guess.
add_compile_options($<$<C_COMPILER_ID:GNU>:-Wno-maybe-uninitialized>)
# The same source gives the same numbers with and without fused multiply-add.
add_compile_options(-ffp-contract=off)
# Hardening that costs next to nothing. As-needed keeps unused libraries out of the program's start.
add_compile_options(-fstack-protector-strong -fstack-clash-protection)
add_link_options(-Wl,--as-needed -Wl,-z,relro -Wl,-z,now)
if(CMAKE_BUILD_TYPE STREQUAL "Release")
  add_compile_options(-U_FORTIFY_SOURCE -D_FORTIFY_SOURCE=2)
endif()

if(BW_SANITIZE)
  add_compile_options(-fsanitize=address,undefined -fno-sanitize-recover=all
    -fno-omit-frame-pointer)
  add_link_options(-fsanitize=address,undefined)
  # The sanitizer's own system calls do not pass the readers' filter; release readers are tested
  # jailed.
  add_compile_definitions(BW_JAIL_OFF=1)
endif()
if(BW_COVERAGE)
  add_compile_options(--coverage)
  add_link_options(--coverage)
endif()
if(BW_FUZZ)
  add_compile_options(-fsanitize=fuzzer-no-link)
endif()
