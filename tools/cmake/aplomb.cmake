# Build rules shared by every part: language level, warnings, sanitizers, and the two helper functions below.

set(CMAKE_CXX_STANDARD 20)
set(CMAKE_CXX_STANDARD_REQUIRED ON)
set(CMAKE_CXX_EXTENSIONS OFF)
set(CMAKE_EXPORT_COMPILE_COMMANDS ON)
if(NOT CMAKE_BUILD_TYPE)
  set(CMAKE_BUILD_TYPE Release CACHE STRING "Debug, Release or RelWithDebInfo" FORCE)
endif()

option(APLOMB_SANITIZE "Build with address and undefined-behaviour sanitizers" OFF)
set(APLOMB_PLAIN_PARTS "" CACHE STRING "Libraries (parts of src) that are left as they are where the rest has sanitizers")
option(APLOMB_BENCHMARKS "Build the benchmarks" ON)

find_program(APLOMB_CCACHE ccache)
if(APLOMB_CCACHE)
  set(CMAKE_CXX_COMPILER_LAUNCHER "${APLOMB_CCACHE}")
endif()

# x86-64-v2 is the highest level that is safe beside the packaged Open3D: with AVX, Eigen changes its alignment and
# memory allocated on one side of that library and freed on the other crashes.
add_library(aplomb_options INTERFACE)
target_compile_options(aplomb_options INTERFACE -Wall -Wextra -Wshadow -Wnon-virtual-dtor -Woverloaded-virtual -Werror)
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND CMAKE_CXX_COMPILER_VERSION VERSION_LESS 13)
  # g++ 12 warns of overlapping copies inside std::string's own operator+ (GCC bug 105651); there are none.
  target_compile_options(aplomb_options INTERFACE -Wno-restrict)
endif()
if(CMAKE_SYSTEM_PROCESSOR MATCHES "x86_64|AMD64")
  target_compile_options(aplomb_options INTERFACE -march=x86-64-v2)
endif()
# No fused or reassociated arithmetic: the same inputs give the same bits whatever the thread count.
target_compile_options(aplomb_options INTERFACE -ffp-contract=off)
target_include_directories(aplomb_options INTERFACE "${PROJECT_SOURCE_DIR}/include")
if(APLOMB_SANITIZE)
  target_compile_options(aplomb_options INTERFACE
    $<$<NOT:$<BOOL:$<TARGET_PROPERTY:APLOMB_PLAIN>>>:-fsanitize=address,undefined;-fno-sanitize-recover=undefined;-fno-omit-frame-pointer>)
  target_link_options(aplomb_options INTERFACE -fsanitize=address,undefined)
  if(APLOMB_PLAIN_PARTS)
    # Eigen allocates otherwise where it sees a sanitizer, and plain parts do not: both as they do. Alignment is 16 either way.
    target_compile_definitions(aplomb_options INTERFACE EIGEN_MALLOC_ALREADY_ALIGNED=1)
  endif()
  # Instrumented code confuses this warning of g++ (GCC bug 105562, in std::regex); the plain build keeps it.
  target_compile_options(aplomb_options INTERFACE -Wno-maybe-uninitialized)
endif()

# aplomb_library(NAME part SOURCES a.cpp ... [DEPS targets ...]) makes the static library aplomb_<part>.
function(aplomb_library)
  cmake_parse_arguments(ARG "" "NAME" "SOURCES;DEPS" ${ARGN})
  add_library(aplomb_${ARG_NAME} STATIC ${ARG_SOURCES})
  target_link_libraries(aplomb_${ARG_NAME} PUBLIC aplomb_options ${ARG_DEPS})
  set_target_properties(aplomb_${ARG_NAME} PROPERTIES POSITION_INDEPENDENT_CODE ON)
  if(ARG_NAME IN_LIST APLOMB_PLAIN_PARTS)
    set_target_properties(aplomb_${ARG_NAME} PROPERTIES APLOMB_PLAIN ON)
  endif()
endfunction()

# aplomb_test(NAME part SOURCES a.cpp ... [DEPS targets ...] [LABELS ...]) makes the program test_<part> and hands each of
# its cases to ctest. Labels: core (also run under the sanitizers); whole when none is given.
# Target core_tests builds just those.
add_custom_target(core_tests)
function(aplomb_test)
  cmake_parse_arguments(ARG "" "NAME" "SOURCES;DEPS;LABELS" ${ARGN})
  foreach(source IN LISTS ARG_SOURCES)
    # CMake splits such a name into entries that run nothing.
    file(STRINGS ${source} bad_names REGEX "TEST_CASE\\(\"[^\"]*;")
    if(bad_names)
      message(FATAL_ERROR "${source}: a test name holds a ';'")
    endif()
  endforeach()
  add_executable(test_${ARG_NAME} ${ARG_SOURCES})
  target_link_libraries(test_${ARG_NAME} PRIVATE aplomb_options Catch2::Catch2WithMain ${ARG_DEPS})
  target_compile_definitions(test_${ARG_NAME} PRIVATE APLOMB_SOURCE_DIR="${PROJECT_SOURCE_DIR}")
  # An empty label would vanish on the way and take the next word for itself.
  if(NOT ARG_LABELS)
    set(ARG_LABELS whole)
  endif()
  catch_discover_tests(test_${ARG_NAME} EXTRA_ARGS -w NoTests
                       PROPERTIES LABELS "${ARG_LABELS}" SKIP_REGULAR_EXPRESSION "skipped:"
                       DISCOVERY_MODE PRE_TEST)
  if("core" IN_LIST ARG_LABELS)
    add_dependencies(core_tests test_${ARG_NAME})
  endif()
endfunction()

# Packages used by more than one part.
find_package(Eigen3 REQUIRED)
find_package(Threads REQUIRED)
find_package(fmt REQUIRED)
find_package(spdlog REQUIRED)
find_package(nlohmann_json REQUIRED)
find_package(tomlplusplus REQUIRED)
find_package(tl-expected REQUIRED)
if(BUILD_TESTING)
  find_package(Catch2 2 REQUIRED)
  include(Catch)
endif()
