#include "correlations/pipe_sizes.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>

#include "units/numbers.h"

namespace handwheel {
namespace {

struct PipeRow {
  int dn;
  double outside_in;
  double wall_10s_in;
  double wall_40_in;
  double wall_80_in;
};

// ASME B36.10M and B36.19M, outside diameters and walls [in], from memory; the bores 0.622, 1.610,
// 2.067, 3.068, 4.026, 5.047 and 6.065 in of schedule 40 agree with examples in print.
constexpr std::array<PipeRow, 20> kPipes{{
    {15, 0.840, 0.083, 0.109, 0.147},   {20, 1.050, 0.083, 0.113, 0.154},
    {25, 1.315, 0.109, 0.133, 0.179},   {32, 1.660, 0.109, 0.140, 0.191},
    {40, 1.900, 0.109, 0.145, 0.200},   {50, 2.375, 0.109, 0.154, 0.218},
    {65, 2.875, 0.120, 0.203, 0.276},   {80, 3.500, 0.120, 0.216, 0.300},
    {90, 4.000, 0.120, 0.226, 0.318},   {100, 4.500, 0.120, 0.237, 0.337},
    {125, 5.563, 0.134, 0.258, 0.375},  {150, 6.625, 0.134, 0.280, 0.432},
    {200, 8.625, 0.148, 0.322, 0.500},  {250, 10.750, 0.165, 0.365, 0.594},
    {300, 12.750, 0.180, 0.406, 0.688}, {350, 14.000, 0.188, 0.438, 0.750},
    {400, 16.000, 0.188, 0.500, 0.844}, {450, 18.000, 0.188, 0.562, 0.938},
    {500, 20.000, 0.218, 0.594, 1.031}, {600, 24.000, 0.250, 0.688, 1.219},
}};

// The largest DN whose STD and 40S wall is that of schedule 40, and whose XS and 80S wall is that
// of schedule 80. Larger 40S and 80S pipe keeps 0.375 and 0.500 in.
constexpr int kLargestStandardDn = 250;
constexpr int kLargestExtraStrongDn = 200;

struct Schedule {
  std::string_view name;
  double PipeRow::*wall_in;
  int largest_dn;
};
constexpr std::array<Schedule, 7> kSchedules{{
    {"10S", &PipeRow::wall_10s_in, kPipes.back().dn},
    {"40", &PipeRow::wall_40_in, kPipes.back().dn},
    {"80", &PipeRow::wall_80_in, kPipes.back().dn},
    {"40S", &PipeRow::wall_40_in, kLargestStandardDn},
    {"80S", &PipeRow::wall_80_in, kLargestExtraStrongDn},
    {"STD", &PipeRow::wall_40_in, kLargestStandardDn},
    {"XS", &PipeRow::wall_80_in, kLargestExtraStrongDn},
}};

struct NominalSize {
  int dn;
  double nps;  // [in]
};

// DN of ISO 6708 and NPS of ASME B36.10M, from memory.
constexpr std::array<NominalSize, 32> kNominalSizes{{
    {6, 0.125},  {8, 0.25},    {10, 0.375},  {15, 0.5},    {20, 0.75},  {25, 1.0},   {32, 1.25},
    {40, 1.5},   {50, 2.0},    {65, 2.5},    {80, 3.0},    {90, 3.5},   {100, 4.0},  {125, 5.0},
    {150, 6.0},  {200, 8.0},   {250, 10.0},  {300, 12.0},  {350, 14.0}, {400, 16.0}, {450, 18.0},
    {500, 20.0}, {550, 22.0},  {600, 24.0},  {650, 26.0},  {700, 28.0}, {750, 30.0}, {800, 32.0},
    {900, 36.0}, {1000, 40.0}, {1050, 42.0}, {1200, 48.0},
}};

std::string Upper(std::string_view text) {
  std::string upper(text);
  for (char& c : upper) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return upper;
}

std::string_view Trim(std::string_view text) {
  const std::size_t first = text.find_first_not_of(' ');
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(' ') - first + 1);
}

// Digits with at most one point, and nothing else.
std::optional<double> ParseNumber(std::string_view text) {
  if (text.empty() || text.find_first_not_of("0123456789.") != std::string_view::npos) {
    return std::nullopt;
  }
  double number = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return number;
}

// "3", "1.5", "1/2", "1-1/2" or "1 1/2".
std::optional<double> ParseInches(std::string_view text) {
  const std::size_t slash = text.find('/');
  if (slash == std::string_view::npos) return ParseNumber(text);
  const std::size_t gap = text.find_first_of("- ");
  const std::size_t numerator_start = gap == std::string_view::npos ? 0 : gap + 1;
  if (numerator_start > slash) return std::nullopt;
  const auto whole = gap == std::string_view::npos ? 0.0 : ParseNumber(text.substr(0, gap));
  const auto numerator = ParseNumber(text.substr(numerator_start, slash - numerator_start));
  const auto denominator = ParseNumber(text.substr(slash + 1));
  if (!whole || !numerator || !denominator) return std::nullopt;
  return *whole + *numerator / *denominator;
}

// nullptr: a size not in kNominalSizes.
const NominalSize* FindNominalSize(std::string_view size) {
  const std::string upper = Upper(Trim(size));
  const std::string_view text = upper;
  const bool is_dn = text.starts_with("DN");
  if (!is_dn && !text.starts_with("NPS")) return nullptr;
  const std::string_view digits = Trim(text.substr(is_dn ? 2 : 3));
  const std::optional<double> number = is_dn ? ParseNumber(digits) : ParseInches(digits);
  if (!number) return nullptr;
  for (const NominalSize& row : kNominalSizes) {
    if (*number == (is_dn ? row.dn : row.nps)) return &row;
  }
  return nullptr;
}

const PipeRow* FindPipeRow(std::string_view size) {
  const NominalSize* nominal = FindNominalSize(size);
  if (!nominal) return nullptr;
  const auto row = std::find_if(kPipes.begin(), kPipes.end(),
                                [&](const PipeRow& pipe) { return pipe.dn == nominal->dn; });
  return row == kPipes.end() ? nullptr : &*row;
}

PipeSize MakePipeSize(const PipeRow& row, double wall_in) {
  return {.outside_diameter = row.outside_in * kInch,
          .wall = wall_in * kInch,
          .bore = (row.outside_in - 2.0 * wall_in) * kInch,
          .nominal_bore = row.dn / 1000.0};
}

}  // namespace

std::optional<PipeSize> FindPipeSize(std::string_view size, std::string_view schedule) {
  const PipeRow* row = FindPipeRow(size);
  if (row == nullptr) return std::nullopt;
  const std::string wanted = Upper(Trim(schedule));
  for (const Schedule& candidate : kSchedules) {
    if (candidate.name == wanted && row->dn <= candidate.largest_dn) {
      return MakePipeSize(*row, row->*candidate.wall_in);
    }
  }
  return std::nullopt;
}

std::optional<double> NominalBore(std::string_view size) {
  const NominalSize* nominal = FindNominalSize(size);
  if (!nominal) return std::nullopt;
  return nominal->dn / 1000.0;
}

std::optional<double> NominalInches(std::string_view size) {
  const NominalSize* nominal = FindNominalSize(size);
  if (!nominal) return std::nullopt;
  return nominal->nps * kInch;
}

std::vector<std::string> PipeSizeNames() {
  std::vector<std::string> names;
  names.reserve(kPipes.size());
  for (const PipeRow& row : kPipes) names.push_back("DN" + std::to_string(row.dn));
  return names;
}

std::vector<std::string> PipeScheduleNames() {
  std::vector<std::string> names;
  names.reserve(kSchedules.size());
  for (const Schedule& schedule : kSchedules) names.emplace_back(schedule.name);
  return names;
}

std::vector<std::string> PipeScheduleNames(std::string_view size) {
  std::vector<std::string> names;
  const PipeRow* row = FindPipeRow(size);
  if (row == nullptr) return names;
  for (const Schedule& schedule : kSchedules) {
    if (row->dn <= schedule.largest_dn) names.emplace_back(schedule.name);
  }
  return names;
}

}  // namespace handwheel
