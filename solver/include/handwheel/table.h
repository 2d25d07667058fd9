#pragma once

#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "handwheel/steady.h"

namespace handwheel {

// One column of a ResultTable, a value per row.
struct Column {
  std::string name;  // "flow"
  std::string unit;  // "m3/s"; empty for texts and flags
  std::variant<std::vector<double>, std::vector<std::string>, std::vector<bool>> values;

  std::string Heading() const;  // "flow [m3/s]"
};

// Results of one kind of part and what is read off it (readings.h), a row each in network order. SI
// but for Kv, which is m³/h by its definition; NaN where a value is undetermined or the part has
// none.
struct ResultTable {
  std::string kind;
  std::vector<std::string> names;  // of the rows
  std::vector<Column> columns;
};

// "points", "components", "vessels", "junctions", "pipes", "valves", "check valves", "pumps",
// "restrictions", "nozzles", "regulators", "relief valves".
std::vector<std::string> TableNames();

// Throws NetworkError for an unknown table, with a suggestion. "check_valves" will do too.
ResultTable Tabulate(const Solution& solution, std::string_view table);

}  // namespace handwheel
