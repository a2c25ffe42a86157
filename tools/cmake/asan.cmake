# cmake -C tools/cmake/asan.cmake -S . -B build/asan : address and undefined-behaviour sanitizers, optimised enough to run.
set(APLOMB_SANITIZE ON CACHE BOOL "")
set(CMAKE_BUILD_TYPE RelWithDebInfo CACHE STRING "")
set(APLOMB_BENCHMARKS OFF CACHE BOOL "")
