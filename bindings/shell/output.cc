#include "output.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <filesystem>

#include "text/layout.h"

namespace handwheel::shell {
namespace {

OutputError Failure(const std::string& what) {
  return OutputError(what + ": " + std::strerror(errno));
}

// False with errno set.
bool WriteAll(int file, const std::string& text) {
  std::size_t done = 0;
  while (done < text.size()) {
    const ssize_t n = ::write(file, text.data() + done, text.size() - done);
    if (n < 0 && errno == EINTR) continue;
    if (n < 0) return false;
    done += static_cast<std::size_t>(n);
  }
  return true;
}

void WriteTo(int file, const std::string& text, const std::string& name) {
  if (!WriteAll(file, text) && errno != EPIPE) throw Failure("cannot write " + name);
}

// A file that renaming cannot stand in for, such as /dev/null or a pipe.
bool IsSpecial(const std::string& path) {
  std::error_code ignored;
  const auto status = std::filesystem::status(path, ignored);
  return std::filesystem::exists(status) && !std::filesystem::is_regular_file(status);
}

void WriteInPlace(const std::string& text, const std::string& path) {
  const int file = ::open(path.c_str(), O_WRONLY | O_CLOEXEC);
  if (file < 0) throw Failure("cannot write " + path);
  const bool written = WriteAll(file, text) || errno == EPIPE;
  const OutputError failure = Failure("cannot write " + path);
  ::close(file);
  if (!written) throw failure;
}

// The permissions a new file gets.
mode_t NewFileMode() {
  const mode_t mask = ::umask(0);
  ::umask(mask);
  return 0666 & ~mask;
}

mode_t ModeFor(const std::string& path) {
  struct stat existing {};
  return ::stat(path.c_str(), &existing) == 0 ? existing.st_mode & 07777 : NewFileMode();
}

void WriteAndRename(const std::string& text, const std::string& path) {
  std::string temporary = path + ".XXXXXX";
  const int file = ::mkstemp(temporary.data());
  if (file < 0) throw Failure("cannot write " + path);
  bool done = WriteAll(file, text) && ::fchmod(file, ModeFor(path)) == 0 && ::fsync(file) == 0;
  done = (::close(file) == 0) && done;
  done = done && ::rename(temporary.c_str(), path.c_str()) == 0;
  if (done) return;
  const OutputError failure = Failure("cannot write " + path);
  ::unlink(temporary.c_str());
  throw failure;
}

// The file behind a symbolic link, which would otherwise be replaced itself.
std::string Resolved(const std::string& path) {
  std::error_code error;
  const auto resolved = std::filesystem::weakly_canonical(path, error);
  return error ? path : resolved.string();
}

// --- Tables ---

std::string Cell(const Column& column, std::size_t row, bool exact) {
  if (const auto* texts = std::get_if<std::vector<std::string>>(&column.values)) {
    return (*texts)[row];
  }
  if (const auto* flags = std::get_if<std::vector<bool>>(&column.values)) {
    return (*flags)[row] ? "true" : "false";
  }
  const double number = std::get<std::vector<double>>(column.values)[row];
  if (exact) return Digits(number);
  if (std::isnan(number)) return "-";
  char text[32];
  std::snprintf(text, sizeof text, "%.5g", number == 0.0 ? 0.0 : number);
  return text;
}

std::vector<std::vector<std::string>> CellsOf(const ResultTable& table, bool exact) {
  std::vector<std::vector<std::string>> rows(1 + table.names.size());
  rows[0].push_back("name");
  for (const Column& column : table.columns) rows[0].push_back(column.Heading());
  for (std::size_t i = 0; i < table.names.size(); ++i) {
    rows[i + 1].push_back(table.names[i]);
    for (const Column& column : table.columns) rows[i + 1].push_back(Cell(column, i, exact));
  }
  return rows;
}

std::string QuotedForCsv(const std::string& cell) {
  if (cell.find_first_of(",\"\r\n") == std::string::npos) return cell;
  std::string quoted = "\"";
  for (char c : cell) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  return quoted + "\"";
}

std::string ShownScalar(const Scalar& scalar) {
  if (const double* number = std::get_if<double>(&scalar)) return Digits(*number);
  return std::get<std::string>(scalar);
}

}  // namespace

void WriteOutput(const std::string& text, const std::string& path) {
  if (path.empty()) return WriteTo(STDOUT_FILENO, text, "standard output");
  if (IsSpecial(path)) return WriteInPlace(text, path);
  WriteAndRename(text, Resolved(path));
}

std::string AsText(const ResultTable& table) {
  std::string columns = "l";
  for (const Column& column : table.columns) {
    columns += std::holds_alternative<std::vector<double>>(column.values) ? 'r' : 'l';
  }
  TextTable text({.columns = columns, .indent = 0, .gap = 2});
  for (auto& row : CellsOf(table, false)) text.Add(std::move(row));
  return text.Text();
}

std::string AsCsv(const ResultTable& table) {
  std::string text;
  for (const auto& row : CellsOf(table, true)) {
    for (std::size_t c = 0; c < row.size(); ++c) text += (c == 0 ? "" : ",") + QuotedForCsv(row[c]);
    text += "\n";
  }
  return text;
}

std::string Digits(double value) {
  if (std::isnan(value)) return "";
  char text[32];
  const auto end = std::to_chars(text, text + sizeof text, value == 0.0 ? 0.0 : value).ptr;
  return std::string(text, end);
}

std::string Shown(const Value& value) {
  if (const bool* on = std::get_if<bool>(&value)) return *on ? "true" : "false";
  if (const double* number = std::get_if<double>(&value)) return Digits(*number);
  if (const std::string* text = std::get_if<std::string>(&value)) return *text;
  std::vector<std::string> rows;
  for (const auto& [first, second] : std::get<Rows>(value)) {
    rows.push_back(ShownScalar(first) + ": " + ShownScalar(second));
  }
  return "{" + Joined(rows, ", ") + "}";
}

std::string Count(std::size_t n, const std::string& what) {
  return std::to_string(n) + " " + what + (n == 1 ? "" : "s");
}

}  // namespace handwheel::shell
