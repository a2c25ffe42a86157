// What is thrown on a thread of the window, as an error like any other: the window goes on.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <new>
#include <string>
#include <utility>

#include "aplomb/io/error.h"

namespace aplomb::viewer {

/// `work()`, which returns an io::Result; an Error too where it throws.
template <class Work>
auto guarded(Work&& work) -> decltype(work()) {
  try {
    return std::forward<Work>(work)();
  } catch (const std::bad_alloc&) {
    return io::fail({.message = "there is not enough memory", .remedy = "close other programs"});
  } catch (const std::exception& error) {
    // Every library edge turns its exceptions into Errors; what arrives here is a fault of this program.
    return io::fail({.message = std::string("the program failed: ") + error.what(),
                     .remedy = "go back with Ctrl+Z, and please report it with the files given"});
  }
}

}  // namespace aplomb::viewer
