// A document against a schema file of meshes/schema, judged by valijson (an implementation of JSON Schema draft 7).
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "aplomb/io/json.h"

namespace aplomb::report::test {

/// Empty when valid, else what valijson says first; also when the schema itself cannot be read.
std::string schema_fault(const std::string& schema_name, const io::Json& document);

}  // namespace aplomb::report::test
