#include "correlations/pipe_sizes.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace handwheel {
namespace {

constexpr double kInch = 0.0254;  // [m]

double BoreInInches(std::string_view size, std::string_view schedule) {
  const auto pipe = FindPipeSize(size, schedule);
  return pipe ? pipe->bore / kInch : 0.0;
}

// Bores of schedule 40 as they stand in published worked examples and in the fully turbulent
// friction tables for clean steel pipe, inches to three places.
TEST(PipeSizes, Schedule40BoresMatchPublishedExamples) {
  EXPECT_NEAR(BoreInInches("NPS 1/2", "40"), 0.622, 1e-12);
  EXPECT_NEAR(BoreInInches("NPS 3/4", "40"), 0.824, 1e-12);
  EXPECT_NEAR(BoreInInches("NPS 1", "40"), 1.049, 1e-12);
  EXPECT_NEAR(BoreInInches("NPS 1-1/4", "40"), 1.380, 1e-12);
  EXPECT_NEAR(BoreInInches("NPS 1-1/2", "40"), 1.610, 1e-12);
  EXPECT_NEAR(BoreInInches("NPS 2", "40"), 2.067, 1e-12);
  EXPECT_NEAR(BoreInInches("NPS 2-1/2", "40"), 2.469, 1e-12);
  EXPECT_NEAR(BoreInInches("NPS 3", "40"), 3.068, 1e-12);
  EXPECT_NEAR(BoreInInches("NPS 4", "40"), 4.026, 1e-12);
  EXPECT_NEAR(BoreInInches("NPS 5", "40"), 5.047, 1e-12);
  EXPECT_NEAR(BoreInInches("NPS 6", "40"), 6.065, 1e-12);
  EXPECT_NEAR(BoreInInches("NPS 8", "40"), 7.981, 1e-12);
  EXPECT_NEAR(BoreInInches("NPS 10", "40"), 10.020, 1e-12);
  EXPECT_NEAR(BoreInInches("NPS 12", "40"), 11.938, 1e-12);
  EXPECT_NEAR(BoreInInches("NPS 16", "40"), 15.000, 1e-12);
  EXPECT_NEAR(BoreInInches("NPS 18", "40"), 16.876, 1e-12);
  EXPECT_NEAR(BoreInInches("NPS 20", "40"), 18.812, 1e-12);
  EXPECT_NEAR(BoreInInches("NPS 24", "40"), 22.624, 1e-12);
}

// NPS 14 is 13.124 in there: the wall printed as 0.438 in, 0.4375 rounded, must be taken as
// printed.
TEST(PipeSizes, TakesTheInchWallAsPrinted) {
  EXPECT_NEAR(BoreInInches("NPS 14", "40"), 13.124, 1e-12);
}

// ASME B36.10M and B36.19M print these millimetres beside the inches (memory); they round to 0.1 mm
// in diameter (whole millimetres from DN 450) and 0.01 mm in wall.
TEST(PipeSizes, MillimetresAgreeWithTheInches) {
  struct Row {
    const char* size;
    double outside_mm, wall_10s_mm, wall_40_mm, wall_80_mm;
  };
  constexpr Row kRows[] = {
      {"DN15", 21.3, 2.11, 2.77, 3.73},     {"DN20", 26.7, 2.11, 2.87, 3.91},
      {"DN25", 33.4, 2.77, 3.38, 4.55},     {"DN32", 42.2, 2.77, 3.56, 4.85},
      {"DN40", 48.3, 2.77, 3.68, 5.08},     {"DN50", 60.3, 2.77, 3.91, 5.54},
      {"DN65", 73.0, 3.05, 5.16, 7.01},     {"DN80", 88.9, 3.05, 5.49, 7.62},
      {"DN90", 101.6, 3.05, 5.74, 8.08},    {"DN100", 114.3, 3.05, 6.02, 8.56},
      {"DN125", 141.3, 3.40, 6.55, 9.53},   {"DN150", 168.3, 3.40, 7.11, 10.97},
      {"DN200", 219.1, 3.76, 8.18, 12.70},  {"DN250", 273.0, 4.19, 9.27, 15.09},
      {"DN300", 323.8, 4.57, 10.31, 17.48}, {"DN350", 355.6, 4.78, 11.13, 19.05},
      {"DN400", 406.4, 4.78, 12.70, 21.44}, {"DN450", 457, 4.78, 14.27, 23.83},
      {"DN500", 508, 5.54, 15.09, 26.19},   {"DN600", 610, 6.35, 17.48, 30.96},
  };
  EXPECT_EQ(std::size(kRows), PipeSizeNames().size());
  for (const Row& row : kRows) {
    const auto pipe = FindPipeSize(row.size, "40");
    ASSERT_TRUE(pipe) << row.size;
    const double outside_rounding = row.outside_mm > 450 ? 0.45 : 0.051;
    EXPECT_NEAR(pipe->outside_diameter * 1e3, row.outside_mm, outside_rounding) << row.size;
    EXPECT_NEAR(FindPipeSize(row.size, "10S")->wall * 1e3, row.wall_10s_mm, 0.0051) << row.size;
    EXPECT_NEAR(pipe->wall * 1e3, row.wall_40_mm, 0.0051) << row.size;
    EXPECT_NEAR(FindPipeSize(row.size, "80")->wall * 1e3, row.wall_80_mm, 0.0051) << row.size;
  }
}

TEST(PipeSizes, BoreIsOutsideLessTwoWalls) {
  for (const std::string& size : PipeSizeNames()) {
    for (const std::string& schedule : PipeScheduleNames(size)) {
      const auto pipe = FindPipeSize(size, schedule);
      ASSERT_TRUE(pipe) << size << " " << schedule;
      EXPECT_NEAR(pipe->bore, pipe->outside_diameter - 2.0 * pipe->wall, 1e-15);
      EXPECT_DOUBLE_EQ(pipe->nominal_bore, NominalBore(size).value());
    }
  }
}

TEST(PipeSizes, EverySpellingFindsTheSamePipe) {
  const double bore = 1.610 * kInch;
  for (const char* size : {"DN40", "DN 40", "dn40", " DN  40 ", "NPS 1-1/2", "NPS 1 1/2",
                           "NPS1-1/2", "NPS 1.5", "nps 1.50"}) {
    const auto pipe = FindPipeSize(size, "40");
    ASSERT_TRUE(pipe) << size;
    EXPECT_NEAR(pipe->bore, bore, 1e-15) << size;
    EXPECT_EQ(pipe->nominal_bore, 0.040) << size;
  }
  EXPECT_EQ(NominalBore("NPS 0.5"), 0.015);
  EXPECT_EQ(NominalBore("NPS 1/2"), 0.015);
  EXPECT_EQ(NominalBore("DN80"), 0.080);
  EXPECT_EQ(NominalBore("NPS 48"), 1.200);
}

TEST(PipeSizes, UnknownSizesAreRefused) {
  for (const char* size : {"",        "80",      "3",       "3 in",          "DN",
                           "NPS",     "DN81",    "DN 80.5", "DN-80",         "NPS 1/",
                           "NPS /2",  "NPS 1/0", "NPS 1-",  "NPS 1--1/2",    "NPS 1/2-1",
                           "NPS 2 x", "NPS 1e1", "NPS inf", "NPS 1-1/2-1/2", "NPS 1.2.3",
                           "NPS 1-3"}) {
    EXPECT_FALSE(NominalBore(size)) << size;
    EXPECT_FALSE(FindPipeSize(size, "40")) << size;
    EXPECT_TRUE(PipeScheduleNames(size).empty()) << size;
  }
  // A valve size, but not in the pipe table.
  EXPECT_TRUE(NominalBore("DN700"));
  EXPECT_FALSE(FindPipeSize("DN700", "40"));
}

// 40S and STD keep 0.375 in from NPS 12 up, 80S and XS 0.500 in from NPS 10 up: there they are not
// schedule 40 and 80, and are refused rather than guessed.
TEST(PipeSizes, StainlessAndWeightNamesHoldOnlyWhereTheWallIsTheSame) {
  EXPECT_EQ(FindPipeSize("NPS 10", "40S")->wall, FindPipeSize("NPS 10", "40")->wall);
  EXPECT_EQ(FindPipeSize("NPS 10", "STD")->wall, FindPipeSize("NPS 10", "40")->wall);
  EXPECT_EQ(FindPipeSize("NPS 8", "80s")->wall, FindPipeSize("NPS 8", "80")->wall);
  EXPECT_EQ(FindPipeSize("NPS 8", "XS")->wall, FindPipeSize("NPS 8", "80")->wall);
  EXPECT_FALSE(FindPipeSize("NPS 12", "40S"));
  EXPECT_FALSE(FindPipeSize("NPS 12", "STD"));
  EXPECT_FALSE(FindPipeSize("NPS 10", "80S"));
  EXPECT_FALSE(FindPipeSize("NPS 10", "XS"));
  EXPECT_FALSE(FindPipeSize("NPS 3", "10"));
  EXPECT_FALSE(FindPipeSize("NPS 3", ""));
  const std::vector<std::string> large = PipeScheduleNames("DN300");
  EXPECT_EQ(large, (std::vector<std::string>{"10S", "40", "80"}));
  EXPECT_EQ(PipeScheduleNames("DN80").size(), PipeScheduleNames().size());
}

TEST(NominalInches, CountsDnSizesInNps) {
  EXPECT_DOUBLE_EQ(*NominalInches("DN80"), 3.0 * 0.0254);
  EXPECT_DOUBLE_EQ(*NominalInches("NPS 1-1/2"), 1.5 * 0.0254);
  EXPECT_FALSE(NominalInches("DN81"));
}

}  // namespace
}  // namespace handwheel
