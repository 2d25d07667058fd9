#include "file/scan.h"

#include <algorithm>
#include <set>

#include "handwheel/errors.h"
#include "network/fields.h"
#include "text/cat.h"
#include "text/suggest.h"
#include "text/utf8.h"

namespace handwheel {
namespace {

constexpr std::size_t kChunkBytes = 256u << 10;
constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";

// The tables inside a part that a heading of their own may hold.
struct InnerTable {
  std::string_view heading;
  std::string_view owner;
};
constexpr InnerTable kInnerTables[] = {{"case.set", "case"}, {"pipe.fittings", "pipe"}};

bool IsDigit(char c) {
  return c >= '0' && c <= '9';
}
bool IsBlank(char c) {
  return c == ' ' || c == '\t' || c == '\r';
}

std::string_view Trimmed(std::string_view text) {
  while (!text.empty() && IsBlank(text.front())) text.remove_prefix(1);
  while (!text.empty() && IsBlank(text.back())) text.remove_suffix(1);
  return text;
}

// `case . "set"` as `case.set`. What is quoted in any other way stays as it is and is unknown.
std::string PlainHeading(std::string_view inside) {
  std::string plain;
  for (const char c : inside) {
    if (c != ' ' && c != '\t' && c != '"' && c != '\'') plain += c;
  }
  return plain;
}

std::vector<std::string> ListHeadings() {
  std::vector<std::string> names = PartKinds();
  names.emplace_back("case");
  return names;
}

std::vector<std::string> SectionHeadings() {
  std::vector<std::string> names;
  for (const PartKind& kind : PartKindTable()) {
    if (kind.role == Role::kSection) names.emplace_back(kind.name);
  }
  return names;
}

bool IsAmong(std::string_view name, const std::vector<std::string>& names) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

bool IsBareKey(std::string_view word) {
  return std::all_of(word.begin(), word.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || IsDigit(c) || c == '_' || c == '-';
  });
}

// Takes digits, with single underscores between them, off the front.
bool TakeDigits(std::string_view* word, bool (*is_digit)(char)) {
  if (word->empty() || !is_digit(word->front())) return false;
  while (!word->empty()) {
    const bool underscore = word->front() == '_' && word->size() > 1 && is_digit((*word)[1]);
    if (!underscore && !is_digit(word->front())) break;
    word->remove_prefix(underscore ? 2 : 1);
  }
  return true;
}

bool IsHexDigit(char c) {
  return IsDigit(c) || (c >= 'a' && c <= 'f') || (c >= 'A' && c <= 'F');
}

bool TakeSign(std::string_view* word) {
  if (word->empty() || (word->front() != '+' && word->front() != '-')) return false;
  word->remove_prefix(1);
  return true;
}

// The numbers of TOML, which are those of C without suffixes.
bool IsNumber(std::string_view word) {
  for (const auto& prefix : {"0x", "0o", "0b"}) {
    if (!word.starts_with(prefix)) continue;
    word.remove_prefix(2);
    return TakeDigits(&word, &IsHexDigit) && word.empty();
  }
  TakeSign(&word);
  if (word == "inf" || word == "nan") return true;
  if (!TakeDigits(&word, &IsDigit)) return false;
  if (word.starts_with('.')) {
    word.remove_prefix(1);
    if (!TakeDigits(&word, &IsDigit)) return false;
  }
  if (word.starts_with('e') || word.starts_with('E')) {
    word.remove_prefix(1);
    TakeSign(&word);
    if (!TakeDigits(&word, &IsDigit)) return false;
  }
  return word.empty();
}

bool IsBareValue(std::string_view word) {
  return word == "true" || word == "false" || IsNumber(word);
}

class Scanner {
 public:
  Scanner(std::string_view text, const std::string& file, const ReadLimits& limits)
      : text_(text), file_(file), limits_(limits) {}

  std::vector<Chunk> Run() {
    RefuseLargeFile();
    if (text_.starts_with(kByteOrderMark)) text_.remove_prefix(kByteOrderMark.size());
    RefuseBinary();
    while (at_ < text_.size()) Step();
    if (!open_.empty()) RefuseOpenBracket();
    EndChunk(text_.size());
    return std::move(chunks_);
  }

 private:
  // --- The file as a whole ---

  void RefuseLargeFile() const {
    if (text_.size() <= limits_.max_bytes) return;
    ThrowAt(file_, 0, 0,
            Cat("the file has ", std::to_string(text_.size()), " bytes; expected at most ",
                std::to_string(limits_.max_bytes), "."));
  }

  void RefuseBinary() {
    const std::size_t nul = text_.find('\0');
    const std::size_t valid = ValidUtf8Length(text_);
    if (nul < valid) FailAtOffset(nul, "found a zero byte; expected a text file.");
    if (valid < text_.size()) {
      FailAtOffset(valid, "found a byte that is not UTF-8; save the file as UTF-8 text.");
    }
  }

  [[noreturn]] void FailAtOffset(std::size_t offset, const std::string& message) const {
    const std::string_view before = text_.substr(0, offset);
    const auto line = std::count(before.begin(), before.end(), '\n') + 1;
    const std::size_t newline = before.rfind('\n');
    const std::size_t line_start = newline == std::string_view::npos ? 0 : newline + 1;
    const auto column = CharacterCount(before.substr(line_start)) + 1;
    ThrowAt(file_, static_cast<int>(line), static_cast<int>(column), message);
  }

  // --- One token after another ---

  void Step() {
    const char c = text_[at_];
    const bool starts_line = line_is_blank_;
    if (!IsBlank(c)) line_is_blank_ = false;
    switch (c) {
      case '\n':
        return EndLine();
      case '\r':
        if (text_.substr(at_, 2) == "\r\n") break;
        FailAtOffset(at_, "found a carriage return alone; end lines with a line feed.");
      case '#':
        return SkipComment();
      case '"':
      case '\'':
        return SkipString(c);
      case '[':
        if (starts_line && open_.empty()) return ReadHeading();
        if (starts_line && LooksLikeHeading()) RefuseOpenBracket();
        return Open(c);
      case '{':
        return Open(c);
      case ']':
      case '}':
        return Close(c);
      case ',':
        expects_key_ = !open_.empty() && open_.back() == '{';
        key_start_ = at_ + 1;
        break;
      case '=':
        expects_key_ = false;
        break;
      case '.':
        if (expects_key_) RefuseDottedKey();
        return SkipWord();
      default:
        if (!IsBlank(c)) return SkipWord();
        break;
    }
    ++at_;
  }

  // A bare key, number or truth value. Nothing else stands outside quotes in a network file, and
  // the parser is not sure-footed among what else TOML could have there.
  void SkipWord() {
    constexpr std::string_view kAfterKey = " \t\r\n,]}[{#=\"'.";
    constexpr std::string_view kAfterValue = " \t\r\n,]}#";
    const std::size_t start = at_;
    const std::size_t end =
        std::min(text_.find_first_of(expects_key_ ? kAfterKey : kAfterValue, start), text_.size());
    const std::string_view word = text_.substr(start, end - start);
    if (expects_key_ ? !IsBareKey(word) : !IsBareValue(word)) {
      FailAtOffset(start, Cat("found ", Quoted(word),
                              " without quotes; text needs them, and so does a number with a unit, "
                              "as in \"38 m\"."));
    }
    at_ = end;
  }

  void EndLine() {
    ++at_;
    ++line_;
    line_is_blank_ = true;
    if (!open_.empty()) return;
    expects_key_ = true;
    key_start_ = at_;
  }

  void SkipComment() { at_ = std::min(text_.find('\n', at_), text_.size()); }

  void SkipString(char quote) {
    const std::string triple(3, quote);
    if (text_.substr(at_, 3) == triple) return SkipLongString(quote, triple);
    const std::size_t start = at_;
    ++at_;
    while (at_ < text_.size() && text_[at_] != '\n') {
      const char c = text_[at_];
      if (quote == '"' && c == '\\') {
        SkipEscape(false);
      } else {
        ++at_;
        if (c == quote) return;
      }
    }
    FailAtOffset(start, "the text that begins here lacks its closing quote.");
  }

  void SkipLongString(char quote, const std::string& triple) {
    const std::size_t start = at_;
    at_ += 3;
    while (at_ < text_.size() && text_.substr(at_, 3) != triple) {
      if (quote == '"' && text_[at_] == '\\') {
        SkipEscape(true);
      } else {
        SkipCharacter();
      }
    }
    if (at_ >= text_.size()) {
      FailAtOffset(start, "the text that begins here lacks its three closing quotes.");
    }
    at_ += 3;
    // Up to two quotes may stand before the closing three.
    for (int i = 0; i < 2 && at_ < text_.size() && text_[at_] == quote; ++i) ++at_;
  }

  void SkipCharacter() {
    if (text_[at_] == '\n') ++line_;
    ++at_;
  }

  // A backslash and the letter after it; in a long text also a backslash that joins lines.
  void SkipEscape(bool joins_lines) {
    constexpr std::string_view kLetters = "btnfr\"\\uU";
    const std::size_t start = at_++;
    if (at_ == text_.size()) return;  // the missing quote is what to complain of
    if (kLetters.find(text_[at_]) != std::string_view::npos) {
      ++at_;
    } else if (joins_lines && (IsBlank(text_[at_]) || text_[at_] == '\n')) {
      SkipLineJoint(start);
    } else if (text_[at_] != '\n') {
      RefuseEscape(start);
    }
  }

  void SkipLineJoint(std::size_t start) {
    while (at_ < text_.size() && IsBlank(text_[at_])) ++at_;
    if (at_ < text_.size() && text_[at_] != '\n') RefuseEscape(start);
    while (at_ < text_.size() && (IsBlank(text_[at_]) || text_[at_] == '\n')) SkipCharacter();
    if (at_ == text_.size() || static_cast<unsigned char>(text_[at_]) < 0x80) return;
    // Valid TOML, but the parser is not sure-footed here either.
    FailAtOffset(start, "a line joined by a backslash must go on with an ASCII character.");
  }

  [[noreturn]] void RefuseEscape(std::size_t start) const {
    FailAtOffset(start,
                 "unknown escape; write a backslash as \\\\ or put the text in single "
                 "quotes.");
  }

  void Open(char bracket) {
    open_.push_back(bracket);
    open_at_.push_back(at_);
    if (open_.size() > static_cast<std::size_t>(std::max(0, limits_.max_nesting))) {
      FailAtOffset(at_, Cat("brackets are nested more than ", std::to_string(limits_.max_nesting),
                            " deep."));
    }
    ++at_;
    expects_key_ = bracket == '{';
    key_start_ = at_;
  }

  // Curves run over several lines too, but none of their lines starts like this.
  bool LooksLikeHeading() const {
    const std::size_t name = text_.find_first_not_of('[', at_);
    return name != std::string_view::npos && IsBareKey(text_.substr(name, 1)) &&
           !IsDigit(text_[name]) && text_[name] != '-';
  }

  [[noreturn]] void RefuseOpenBracket() const {
    FailAtOffset(open_at_.back(),
                 Cat("the bracket ", Quoted(open_.substr(open_.size() - 1)), " is not closed."));
  }

  void Close(char bracket) {
    const char opening = bracket == ']' ? '[' : '{';
    if (open_.empty() || open_.back() != opening) {
      FailAtOffset(at_, Cat("found ", Quoted(std::string(1, bracket)), " without a ",
                            Quoted(std::string(1, opening)), " before it."));
    }
    open_.pop_back();
    open_at_.pop_back();
    ++at_;
    expects_key_ = false;
  }

  [[noreturn]] void RefuseDottedKey() const {
    std::string_view key = text_.substr(key_start_);
    key = Trimmed(key.substr(0, key.find_first_of("=\n")));
    FailAtOffset(static_cast<std::size_t>(key.data() - text_.data()),
                 Cat("the name ", Quoted(key),
                     " has a dot in it; put it in quotes, as in \"HV-3.opening\" = 0.4, or under a "
                     "heading."));
  }

  // --- Headings ---

  void ReadHeading() {
    const std::size_t start = at_;
    const std::size_t line_end = std::min(text_.find('\n', at_), text_.size());
    const std::string_view line = text_.substr(at_, line_end - at_);
    const bool is_list = line.starts_with("[[");
    const std::size_t close = line.find(']');
    if (close == std::string_view::npos || (is_list && line.substr(close, 2) != "]]")) {
      FailAtOffset(start, Cat("the heading ", Quoted(Trimmed(line)), " is not closed."));
    }
    const std::size_t open = is_list ? 2 : 1;
    CheckHeading(start, PlainHeading(line.substr(open, std::max(close, open) - open)), is_list);
    at_ += close + (is_list ? 2 : 1);
    expects_key_ = false;
  }

  void CheckHeading(std::size_t start, const std::string& name, bool is_list) {
    for (const InnerTable& inner : kInnerTables) {
      if (inner.heading == name && !is_list) return CheckInnerTable(start, inner);
    }
    static const std::vector<std::string> lists = ListHeadings();
    static const std::vector<std::string> sections = SectionHeadings();
    if (IsAmong(name, lists)) {
      if (!is_list) {
        FailAtOffset(start, Cat("[", name, "] needs double brackets: [[", name, "]]."));
      }
    } else if (IsAmong(name, sections)) {
      if (is_list) {
        FailAtOffset(start,
                     Cat("[[", name, "]] exists once and needs single brackets: [", name, "]."));
      }
      if (!seen_.insert(name).second) FailAtOffset(start, Cat("[", name, "] is given twice."));
    } else {
      std::vector<std::string> known = lists;
      known.insert(known.end(), sections.begin(), sections.end());
      FailAtOffset(start, Cat("unknown heading ", Quoted(name), ";", Suggest(name, known)));
    }
    latest_ = name;
    if (start - chunk_start_ >= kChunkBytes) EndChunk(start);
  }

  void CheckInnerTable(std::size_t start, const InnerTable& inner) const {
    if (latest_ == inner.owner) return;
    FailAtOffset(
        start, Cat("[", inner.heading, "] must stand in the [[", inner.owner, "]] it belongs to."));
  }

  void EndChunk(std::size_t end) {
    chunks_.push_back({text_.substr(chunk_start_, end - chunk_start_), chunk_line_ - 1});
    chunk_start_ = end;
    chunk_line_ = line_;
  }

  std::string_view text_;
  const std::string& file_;
  const ReadLimits& limits_;

  std::size_t at_ = 0;
  int line_ = 1;
  bool line_is_blank_ = true;  // so far
  bool expects_key_ = true;
  std::size_t key_start_ = 0;
  std::string open_;  // brackets, the innermost last
  std::vector<std::size_t> open_at_;
  std::string latest_;          // heading
  std::set<std::string> seen_;  // sections

  std::size_t chunk_start_ = 0;
  int chunk_line_ = 1;
  std::vector<Chunk> chunks_;
};

}  // namespace

std::vector<Chunk> ScanFile(std::string_view text, const std::string& file,
                            const ReadLimits& limits) {
  return Scanner(text, file, limits).Run();
}

void ThrowAt(const std::string& file, int line, int column, const std::string& message) {
  throw FileError(Cat(file, ":", std::to_string(line), ":", std::to_string(column), ": ", message),
                  file, line, column);
}

}  // namespace handwheel
