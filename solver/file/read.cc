#include <toml++/toml.h>
#include <algorithm>
#include <cerrno>
#include <cmath>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <system_error>

#include "file/scan.h"
#include "handwheel/errors.h"
#include "handwheel/file.h"
#include "network/fault.h"
#include "network/fields.h"
#include "text/cat.h"
#include "text/suggest.h"
#include "text/utf8.h"

namespace handwheel {
namespace {

struct Position {
  int line = 0;
  int column = 0;
};

Position PositionOf(const toml::source_region& region, int lines_before) {
  return {static_cast<int>(region.begin.line) + lines_before,
          static_cast<int>(region.begin.column)};
}

// --- From TOML values to ours --------------------------------------------------------------------

std::optional<Scalar> ToScalar(const toml::node& node) {
  if (const auto* text = node.as_string()) return text->get();
  if (const auto* number = node.as_floating_point()) return number->get();
  if (const auto* number = node.as_integer()) return static_cast<double>(number->get());
  return std::nullopt;
}

// The entries of a table in the order of the file.
struct Entry {
  std::string_view key;
  const toml::node* value;
  toml::source_region key_region;
};

std::vector<Entry> EntriesOf(const toml::table& table) {
  std::vector<Entry> entries;
  entries.reserve(table.size());
  for (const auto& [key, value] : table) entries.push_back({key.str(), &value, key.source()});
  std::sort(entries.begin(), entries.end(), [](const Entry& a, const Entry& b) {
    const auto& left = a.key_region.begin;
    const auto& right = b.key_region.begin;
    return std::pair(left.line, left.column) < std::pair(right.line, right.column);
  });
  return entries;
}

std::optional<Rows> PairsOf(const toml::array& array) {
  Rows rows;
  rows.reserve(array.size());
  for (const toml::node& item : array) {
    const toml::array* pair = item.as_array();
    if (pair == nullptr || pair->size() != 2) return std::nullopt;
    const auto first = ToScalar((*pair)[0]);
    const auto second = ToScalar((*pair)[1]);
    if (!first || !second) return std::nullopt;
    rows.push_back({*first, *second});
  }
  return rows;
}

// Three numbers are the coefficients a, b, c.
std::optional<Rows> CoefficientsOf(const toml::array& array) {
  if (array.size() != 3) return std::nullopt;
  Rows rows;
  for (const char* letter : {"a", "b", "c"}) {
    const auto number = ToScalar(array[rows.size()]);
    if (!number) return std::nullopt;
    rows.push_back({std::string(letter), *number});
  }
  return rows;
}

std::optional<Rows> CountsOf(const toml::table& table) {
  Rows rows;
  for (const Entry& entry : EntriesOf(table)) {
    const auto count = ToScalar(*entry.value);
    if (!count) return std::nullopt;
    rows.push_back({std::string(entry.key), *count});
  }
  return rows;
}

std::optional<Value> ToValue(const toml::node& node) {
  if (const auto* on = node.as_boolean()) return on->get();
  if (const auto scalar = ToScalar(node)) {
    return std::visit([](const auto& value) { return Value(value); }, *scalar);
  }
  std::optional<Rows> rows;
  if (const toml::array* array = node.as_array()) {
    rows = PairsOf(*array);
    if (!rows) rows = CoefficientsOf(*array);
  }
  if (const toml::table* table = node.as_table()) rows = CountsOf(*table);
  return rows ? std::optional<Value>(std::move(*rows)) : std::nullopt;
}

// A list or table that no property takes.
std::string_view Unusable(const toml::node& node, bool expects_list) {
  if (node.is_array()) return expects_list ? "a list of another shape" : "a list";
  return expects_list ? "a table of another shape" : "a table";
}

bool ExpectsList(const Field& field, const void* part) {
  const Slot slot = SlotOf(field, part);
  return std::holds_alternative<Curve*>(slot) || std::holds_alternative<Coefficients*>(slot) ||
         std::holds_alternative<Fittings*>(slot);
}

// --- Tables of one chunk -------------------------------------------------------------------------

// One [[part]], [section] or [[case]], or the top of the file.
struct FileTable {
  const PartKind* kind;  // nullptr: a case
  const toml::table* table;
  Position position;
};

bool IsEarlier(const FileTable& a, const FileTable& b) {
  return std::pair(a.position.line, a.position.column) <
         std::pair(b.position.line, b.position.column);
}

class Reader {
 public:
  Reader(std::string_view text, const std::string& file, const ReadLimits& limits)
      : file_(file), chunks_(ScanFile(text, file, limits)) {}

  Network Run() {
    for (const Chunk& chunk : chunks_) {
      ForEachTable(chunk, [&](const FileTable& table) { Read(table); });
    }
    if (const auto fault = FindFault(network_)) Fail(Locate(*fault), fault->message);
    return std::move(network_);
  }

 private:
  [[noreturn]] void Fail(const Position& position, const std::string& message) const {
    ThrowAt(file_, position.line, position.column, message);
  }

  // --- Syntax ---

  toml::table Parse(const Chunk& chunk) const {
    try {
      return toml::parse(chunk.text);
    } catch (const toml::parse_error& error) {
      Fail(PositionOf(error.source(), chunk.lines_before), Explain(error.description()));
    }
  }

  // "Error while parsing key: expected ..." in our own form.
  static std::string Explain(std::string_view description) {
    constexpr std::string_view kPrefix = "Error while parsing ";
    // The parser cuts long descriptions anywhere.
    description = description.substr(0, ValidUtf8Length(description));
    if (description.find("cannot redefine existing") != std::string_view::npos) {
      return "not valid TOML: the same name is given twice in one table.";
    }
    const bool says_where = description.starts_with(kPrefix);
    if (says_where) description.remove_prefix(kPrefix.size());
    const std::size_t colon = says_where ? std::min(description.find(": "), description.size()) : 0;
    const std::string where = says_where ? Cat(" (", description.substr(0, colon), ")") : ": ";
    return Cat("not valid TOML", where, description.substr(colon), ".");
  }

  template <typename Visit>
  void ForEachTable(const Chunk& chunk, const Visit& visit) const {
    const toml::table root = Parse(chunk);
    std::vector<FileTable> tables;
    tables.push_back({&HeadingSection(), &root, {1 + chunk.lines_before, 1}});
    for (const auto& [key, node] : root) CollectTables(key.str(), node, chunk, &tables);
    std::stable_sort(tables.begin() + 1, tables.end(), IsEarlier);
    for (const FileTable& table : tables) visit(table);
  }

  // Leaves what has no heading to be refused among the keys at the top.
  void CollectTables(std::string_view name, const toml::node& node, const Chunk& chunk,
                     std::vector<FileTable>* tables) const {
    const auto add = [&](const PartKind* kind, const toml::node& item) {
      const toml::table* table = item.as_table();
      if (table == nullptr || table->is_inline()) return;
      tables->push_back({kind, table, PositionOf(table->source(), chunk.lines_before)});
    };
    if (const PartKind* section = FindSection(name)) return add(section, node);
    const PartKind* kind = FindPartKind(name);
    const toml::array* array = node.as_array();
    if (array == nullptr || (kind == nullptr && name != "case")) return;
    for (const toml::node& item : *array) add(kind, item);
  }

  // --- Meaning ---

  void Read(const FileTable& source) {
    lines_before_ = source.position.line - static_cast<int>(source.table->source().begin.line);
    if (source.kind == nullptr) return ReadCase(source);
    const PartKind& kind = *source.kind;
    if (&kind == &HeadingSection()) return ReadTop(source);
    if (kind.role == Role::kSection) {
      return ReadPart(kind, kind.at(network_, 0), {source.table, kind.spoken, 0});
    }
    const std::size_t index = kind.count(network_);
    kind.append(network_, nullptr);
    ReadPart(kind, kind.at(network_, index), {source.table, kind.spoken, index + 1});
  }

  // A table as messages name it, before its name has been read: `pipe "L-7"`.
  struct Label {
    const toml::table* table;
    std::string_view spoken;
    std::size_t number;  // from 1; 0 if there is only one

    std::string Text() const {
      const auto* name = number == 0 ? nullptr : table->get_as<std::string>("name");
      if (name != nullptr && !name->get().empty()) return Cat(spoken, " ", Quoted(name->get()));
      return number == 0 ? std::string(spoken) : Cat(spoken, " number ", std::to_string(number));
    }
  };

  void ReadPart(const PartKind& kind, void* part, const Label& label) {
    for (const Entry& entry : EntriesOf(*label.table)) ReadProperty(kind, part, entry, label);
  }

  void ReadProperty(const PartKind& kind, void* part, const Entry& entry, const Label& label) {
    const Field* field = FindField(kind, entry.key);
    if (field == nullptr) RefuseKey(kind, entry, label);
    const auto value = ToValue(*entry.value);
    if (!value) RefuseValue(*field, part, entry, label);
    std::string problem;
    if (!SetField(*field, part, *value, &problem)) {
      FailAtValue(entry, Cat(label.Text(), ": ", problem));
    }
  }

  [[noreturn]] void RefuseKey(const PartKind& kind, const Entry& entry, const Label& label) const {
    std::vector<std::string> keys;
    for (const Field& known : kind.fields) keys.emplace_back(known.key);
    FailAtKey(entry, Cat(label.Text(), ": unknown property ", Quoted(entry.key), ";",
                         Suggest(entry.key, keys)));
  }

  // Lets the property itself say what it expects, by offering it a value that it refuses too.
  [[noreturn]] void RefuseValue(const Field& field, void* part, const Entry& entry,
                                const Label& label) const {
    std::string problem;
    SetField(field, part, Value(true), &problem);
    const std::size_t semicolon = problem.find("; ");
    const std::string expected = semicolon == std::string::npos ? "" : problem.substr(semicolon);
    FailAtValue(entry, Cat(label.Text(), ": ", entry.key, " is ",
                           Unusable(*entry.value, ExpectsList(field, part)), expected));
  }

  void ReadTop(const FileTable& source) {
    for (const Entry& entry : EntriesOf(*source.table)) {
      const PartKind* section = FindSection(entry.key);
      const bool is_list = FindPartKind(entry.key) != nullptr || entry.key == "case";
      if (section == nullptr && !is_list) {
        ReadProperty(HeadingSection(), &network_, entry, {source.table, "network", 0});
      } else if (!HasHeading(*entry.value)) {
        const std::string heading =
            section != nullptr ? Cat("[", entry.key, "]") : Cat("[[", entry.key, "]]");
        FailAtKey(entry, Cat(Quoted(entry.key), " needs a heading of its own: ", heading, "."));
      }
    }
  }

  static bool HasHeading(const toml::node& node) {
    const toml::array* array = node.as_array();
    const toml::table* table =
        array != nullptr && !array->empty() ? (*array)[0].as_table() : node.as_table();
    return table != nullptr && !table->is_inline();
  }

  void ReadCase(const FileTable& source) {
    const Label label{source.table, "case", network_.cases.size() + 1};
    Case& item = network_.cases.emplace_back();
    for (const Entry& entry : EntriesOf(*source.table)) {
      if (entry.key == "name") {
        item.name = ReadText(entry, label);
      } else if (entry.key == "note") {
        item.note = ReadText(entry, label);
      } else if (entry.key == "set") {
        item.set = ReadSettings(entry, label);
      } else {
        FailAtKey(entry, Cat(label.Text(), ": unknown property ", Quoted(entry.key), ";",
                             Suggest(entry.key, {"name", "note", "set"})));
      }
    }
  }

  std::string ReadText(const Entry& entry, const Label& label) const {
    if (const auto* text = entry.value->as_string()) return text->get();
    FailAtValue(entry, Cat(label.Text(), ": ", entry.key, "; expected text."));
  }

  Settings ReadSettings(const Entry& entry, const Label& label) const {
    const toml::table* table = entry.value->as_table();
    if (table == nullptr) {
      FailAtValue(
          entry, Cat(label.Text(), ": set; expected settings such as { \"HV-3.opening\" = 0.4 }."));
    }
    Settings settings;
    for (const Entry& setting : EntriesOf(*table)) {
      auto value = ToValue(*setting.value);
      if (!value) {
        FailAtValue(setting, Cat(label.Text(), ": ", Quoted(setting.key), " is ",
                                 Unusable(*setting.value, true), "."));
      }
      settings.emplace_back(std::string(setting.key), std::move(*value));
    }
    return settings;
  }

  [[noreturn]] void FailAtKey(const Entry& entry, const std::string& message) const {
    Fail(PositionOf(entry.key_region, lines_before_), message);
  }
  [[noreturn]] void FailAtValue(const Entry& entry, const std::string& message) const {
    Fail(PositionOf(entry.value->source(), lines_before_), message);
  }

  // --- Where a fault of the whole network stands ---

  // Reads the file once more rather than remember where everything stood.
  Position Locate(const Fault& fault) const {
    Position position;
    std::size_t left = fault.index;
    for (const Chunk& chunk : chunks_) {
      ForEachTable(chunk, [&](const FileTable& table) {
        if (position.line > 0 || table.kind != fault.kind || left-- > 0) return;
        position = PositionIn(table, fault.key, chunk.lines_before);
      });
      if (position.line > 0) break;
    }
    return position;
  }

  static Position PositionIn(const FileTable& source, const std::string& key, int lines_before) {
    const toml::node* value = source.table->get(key);
    if (source.kind == nullptr && value == nullptr) {
      const toml::table* set = source.table->get_as<toml::table>("set");
      if (set != nullptr) value = set->get(key);
    }
    return value == nullptr ? source.position : PositionOf(value->source(), lines_before);
  }

  const std::string& file_;
  std::vector<Chunk> chunks_;
  Network network_;
  int lines_before_ = 0;  // the chunk that is being read
};

// --- The bytes of a file -------------------------------------------------------------------------

[[noreturn]] void ThrowUnreadable(const std::string& path, const std::string& why) {
  ThrowAt(path, 0, 0, Cat("the file cannot be read: ", why, "."));
}

std::string SystemReason() {
  return errno == 0 ? "unknown reason" : std::generic_category().message(errno);
}

// One byte more than allowed is read at most, whatever kind of file it is.
std::string ReadBytes(std::ifstream& stream, const std::string& path, std::size_t max_bytes) {
  constexpr std::size_t kBlock = 1u << 20;
  std::string bytes;
  while (stream && bytes.size() <= max_bytes) {
    const std::size_t wanted = std::min(kBlock, max_bytes + 1 - bytes.size());
    const std::size_t had = bytes.size();
    bytes.resize(had + wanted);
    stream.read(bytes.data() + had, static_cast<std::streamsize>(wanted));
    bytes.resize(had + static_cast<std::size_t>(stream.gcount()));
  }
  if (stream.bad()) ThrowUnreadable(path, SystemReason());
  return bytes;
}

void RefuseUnfitFile(const std::string& path, std::size_t max_bytes) {
  std::error_code error;
  const std::filesystem::path file(path);
  if (std::filesystem::is_directory(file, error)) ThrowUnreadable(path, "it is a directory");
  if (!std::filesystem::is_regular_file(file, error)) return;
  const auto size = std::filesystem::file_size(file, error);
  if (error || size <= max_bytes) return;
  ThrowAt(path, 0, 0,
          Cat("the file has ", std::to_string(size), " bytes; expected at most ",
              std::to_string(max_bytes), "."));
}

}  // namespace

Network LoadNetwork(const std::string& path, const ReadLimits& limits) {
  if (path.find('\0') != std::string::npos) ThrowUnreadable(path, "its name has a zero byte");
  RefuseUnfitFile(path, limits.max_bytes);
  errno = 0;
  std::ifstream stream(path, std::ios::binary);
  if (!stream) ThrowUnreadable(path, SystemReason());
  const std::string bytes = ReadBytes(stream, path, limits.max_bytes);
  return ParseNetwork(bytes, path, limits);
}

Network ParseNetwork(std::string_view text, const std::string& name, const ReadLimits& limits) {
  return Reader(text, name, limits).Run();
}

}  // namespace handwheel
