// Linked into the program under the sanitizers: drivers stay loaded to its end, so that a leak in them is told with the
// name of its library, by which it can be suppressed.
// SPDX-License-Identifier: GPL-3.0-or-later
extern "C" int dlclose(void* /*module*/) { return 0; }
