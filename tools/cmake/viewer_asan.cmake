# cmake -C tools/cmake/viewer_asan.cmake -S . -B build/viewer_asan : viewer, pages, files and program under the sanitizers.
# What they call to solve is left plain, or a hundred windows would take hours; its own tests run under them (asan.cmake).
set(APLOMB_PLAIN_PARTS bands contact findings foot geometry gradients scan shoe shop stance study CACHE STRING "")
include("${CMAKE_CURRENT_LIST_DIR}/asan.cmake")
