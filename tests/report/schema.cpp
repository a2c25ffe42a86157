// Validation by valijson, kept apart: its headers are slow to compile.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "schema.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>
// The adapter only works with a json type that is known already.
#include <valijson/adapters/nlohmann_json_adapter.hpp>
#include <valijson/schema.hpp>
#include <valijson/schema_parser.hpp>
#include <valijson/validation_results.hpp>
#include <valijson/validator.hpp>

#include "aplomb/io/files.h"

namespace aplomb::report::test {

std::string schema_fault(const std::string& schema_name, const io::Json& document) {
  const auto text = io::read_file(std::string(APLOMB_SOURCE_DIR) + "/meshes/schema/" + schema_name);
  if (!text) return io::to_line(text.error());
  const auto schema_json = nlohmann::json::parse(*text);
  valijson::Schema schema;
  valijson::SchemaParser parser;
  parser.populateSchema(valijson::adapters::NlohmannJsonAdapter(schema_json), schema);
  const auto plain = nlohmann::json::parse(document.dump());
  valijson::Validator validator;
  valijson::ValidationResults results;
  if (validator.validate(schema, valijson::adapters::NlohmannJsonAdapter(plain), &results)) return {};
  valijson::ValidationResults::Error error;
  if (!results.popError(error)) return "not valid";
  return fmt::format("{}: {}", fmt::join(error.context, ""), error.description);
}

}  // namespace aplomb::report::test
