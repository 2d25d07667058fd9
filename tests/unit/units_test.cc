#include "handwheel/units.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <set>

#include "handwheel/errors.h"
#include "units/unit_table.h"

namespace handwheel {
namespace {

constexpr Dimension kAllDimensions[] = {
    Dimension::kNumber,
    Dimension::kLength,
    Dimension::kArea,
    Dimension::kVolume,
    Dimension::kTime,
    Dimension::kVelocity,
    Dimension::kAcceleration,
    Dimension::kFlow,
    Dimension::kPressure,
    Dimension::kDensity,
    Dimension::kDynamicViscosity,
    Dimension::kKinematicViscosity,
    Dimension::kTemperature,
    Dimension::kRotation,
    Dimension::kPower,
};

double Flow(std::string_view text) {
  return ParseQuantity(text, Dimension::kFlow);
}
double Length(std::string_view text) {
  return ParseQuantity(text, Dimension::kLength);
}
double Pressure(std::string_view text) {
  return ParseQuantity(text, Dimension::kPressure);
}

// --- Values --------------------------------------------------------------------------------------

TEST(ParseQuantity, TakesABareNumberAsSi) {
  EXPECT_EQ(Length("38"), 38.0);
  EXPECT_EQ(Flow(" 0.5 "), 0.5);
  EXPECT_EQ(ParseQuantity("-1e-3", Dimension::kTemperature), -1e-3);
}

TEST(ParseQuantity, ReadsDecimalScalesToTheLastBit) {
  EXPECT_EQ(Length("77.9 mm"), 0.0779);
  EXPECT_EQ(Length("0.045 mm"), 0.045e-3);
  EXPECT_EQ(Length("3 um"), 3e-6);
  EXPECT_EQ(Pressure("0.023 bar"), 2300.0);
  EXPECT_EQ(ParseQuantity("4.5 mPa.s", Dimension::kDynamicViscosity), 4.5e-3);
  EXPECT_EQ(ParseQuantity("1.004 cSt", Dimension::kKinematicViscosity), 1.004e-6);
  EXPECT_EQ(ParseQuantity("60 %", Dimension::kNumber), 0.6);
}

// The exact definitions, worked out apart from the table: inch 25.4 mm, foot 12 in, gallons 231 in³
// and 4.54609 L, pound 0.45359237 kg, standard gravity 9.80665 m/s², atmosphere 101 325 Pa,
// horsepower 550 foot pound-force a second (NIST Special Publication 811, 2008, appendix B).
TEST(ParseQuantity, AgreesWithExactDefinitions) {
  constexpr double kInch = 0.0254, kFoot = 12 * kInch, kPound = 0.45359237, kGravity = 9.80665;
  constexpr double kGallon = 231 * kInch * kInch * kInch;
  const auto near = [](double found, double expected) {
    EXPECT_NEAR(found / expected, 1.0, 9e-16);  // eight roundings
  };
  near(Length("1 in"), kInch);
  near(Length("1 ft"), kFoot);
  near(Flow("12 m3/h"), 12.0 / 3600);
  near(Flow("60 l/min"), 1e-3);
  near(Flow("1 ML/d"), 1000.0 / 86400);
  near(Flow("80 gpm"), 80 * kGallon / 60);
  near(Flow("1 MGD"), 1e6 * kGallon / 86400);
  near(Flow("1 UK gpm"), 4.54609e-3 / 60);
  near(Flow("1 cfs"), kFoot * kFoot * kFoot);
  near(Pressure("1 psi"), kPound * kGravity / (kInch * kInch));
  near(Pressure("1 kgf/cm2"), kGravity * 1e4);
  near(Pressure("1 atm"), 101325.0);
  near(Pressure("760 torr"), 101325.0);
  near(Pressure("1 mH2O"), 1000 * kGravity);
  near(Pressure("1 mmHg"), 13.5951 * kGravity);
  near(Pressure("1 inHg"), 13.5951 * 25.4 * kGravity);
  near(ParseQuantity("62.4 lb/ft3", Dimension::kDensity), 62.4 * kPound / (kFoot * kFoot * kFoot));
  near(ParseQuantity("1450 rpm", Dimension::kRotation), 1450 * 2 * M_PI / 60);
  near(ParseQuantity("1 hp", Dimension::kPower), 550 * kFoot * kPound * kGravity);
  near(ParseQuantity("2 day", Dimension::kTime), 172800.0);
}

TEST(ParseQuantity, ReadsOffsetTemperatures) {
  EXPECT_EQ(ParseQuantity("20 degC", Dimension::kTemperature), 293.15);
  EXPECT_DOUBLE_EQ(ParseQuantity("68 degF", Dimension::kTemperature), 293.15);
  EXPECT_DOUBLE_EQ(ParseQuantity("-40 °F", Dimension::kTemperature),
                   ParseQuantity("-40 °C", Dimension::kTemperature));
  EXPECT_EQ(ParseQuantity("300 K", Dimension::kTemperature), 300.0);
}

// --- Spelling ------------------------------------------------------------------------------------

TEST(ParseQuantity, TakesTypographicSpellings) {
  const double flow = Flow("12 m3/h");
  for (const char* text : {"12m3/h", "12 m³/h", "12 m^3/h", "12 m3 / h", "  12   m3/h  ",
                           "12\u00A0m3/h", "1.2e1 m3/h", "+12 m3/h", "12. m3/h", "12 m3/hr"}) {
    EXPECT_EQ(Flow(text), flow) << text;
  }
  const double viscosity = 4.5e-3;
  for (const char* text : {"4.5 mPa.s", "4.5 mPa·s", "4.5 mPa*s", "4.5 mPa s", "4.5 cP"}) {
    EXPECT_EQ(ParseQuantity(text, Dimension::kDynamicViscosity), viscosity) << text;
  }
  EXPECT_EQ(Length("45 μm"), Length("45 um"));
  EXPECT_EQ(Length(".5 m"), 0.5);
}

TEST(ParseQuantity, TellsCapitalsApart) {
  EXPECT_EQ(Pressure("1 MPa"), 1e6);
  EXPECT_EQ(ParseQuantity("1 mPa.s", Dimension::kDynamicViscosity), 1e-3);
  EXPECT_DOUBLE_EQ(Flow("1 ML/d") / Flow("1 mL/min"), 1e9 / 1440);
}

TEST(ParseQuantity, RefusesWhatIsNoDecimalNumber) {
  for (const char* text :
       {"",         " ",        "m",        "nan",     "NaN m",   "inf",     "-inf m",
        "infinity", "0x10 m",   "1e",       "--1",     "+-1 m",   ".",       "-. m",
        "e5 m",     "1,5 m",    "1,000 m",  "1'000 m", "1_000 m", "1 000 m", "1/2 in",
        "1e400 m",  "1e-400 m", "1e307 km", "1\n2",    "\xFF",    "12 \xC3"}) {
    EXPECT_THROW(Length(text), UnitError) << text;
  }
}

TEST(ParseQuantity, RefusesEveryUnitOfEveryOtherDimension) {
  for (const Dimension dimension : kAllDimensions) {
    for (const Unit& unit : UnitTable()) {
      const std::string text = "1 " + std::string(unit.name);
      if (unit.dimension == dimension || unit.name.empty()) {
        EXPECT_NO_THROW(ParseQuantity(text, dimension)) << text;
      } else {
        EXPECT_THROW(ParseQuantity(text, dimension), UnitError) << text;
      }
    }
  }
}

TEST(ParseQuantity, SaysThatGaugeAndAbsoluteGoWithTheProperty) {
  for (const char* text : {"3 barg", "3 bara", "3 bar g", "3 bar(a)", "3 psig", "3 psia",
                           "3 kPa abs", "3 kPag", "3 bar gauge"}) {
    try {
      Pressure(text);
      FAIL() << text;
    } catch (const UnitError& error) {
      EXPECT_NE(std::string(error.what()).find("gauge or absolute by itself"), std::string::npos)
          << error.what();
    }
  }
}

// --- The table -----------------------------------------------------------------------------------

TEST(UnitTable, HasNoSpellingTwiceAndStartsEachDimensionWithSi) {
  std::set<std::string_view> names;
  std::set<Dimension> started;
  for (const Unit& unit : UnitTable()) {
    EXPECT_TRUE(names.insert(unit.name).second) << unit.name;
    if (!started.insert(unit.dimension).second) continue;
    EXPECT_EQ(unit.times / unit.over, 1.0) << unit.name;
    EXPECT_EQ(SiUnit(unit.dimension), unit.name);
  }
  EXPECT_EQ(started.size(), std::size(kAllDimensions));
}

TEST(UnitTable, IsListedByDimension) {
  std::size_t count = 1;  // the plain number has no spelling
  for (const Dimension dimension : kAllDimensions) {
    EXPECT_FALSE(DimensionName(dimension).empty());
    count += UnitsOf(dimension).size();
  }
  EXPECT_EQ(count, UnitTable().size());
}

// --- There and back ------------------------------------------------------------------------------

class RandomQuantities {
 public:
  double Next() {
    const double magnitude = std::pow(10.0, exponent_(engine_));
    return (engine_() % 2 == 0 ? 1.0 : -1.0) * magnitude;
  }

 private:
  std::mt19937_64 engine_{20260726};
  std::uniform_real_distribution<double> exponent_{-12.0, 12.0};
};

TEST(Units, ConvertThereAndBackInEveryUnit) {
  RandomQuantities random;
  for (const Unit& unit : UnitTable()) {
    for (int i = 0; i < 200; ++i) {
      const double value = random.Next();
      const double si = ToSi(value, unit.dimension, unit.name);
      // Four roundings, and what the offset of a temperature scale swallows.
      const double scale = std::abs(value) + std::abs(unit.shift);
      EXPECT_NEAR(FromSi(si, unit.dimension, unit.name), value, 1e-15 * scale) << unit.name;
    }
  }
}

TEST(Units, ReadBackTheLastBitOfWhatTheyFormat) {
  RandomQuantities random;
  int exact = 0, all = 0;
  for (const Unit& unit : UnitTable()) {
    const bool is_decimal = PowerOfTen(unit).has_value();
    for (int i = 0; i < 200; ++i) {
      const double si = random.Next();
      const std::string text = FormatQuantity(si, unit.dimension, unit.name);
      const double read = ParseQuantity(text, unit.dimension);
      EXPECT_NEAR(read, si, 1e-15 * (std::abs(si) + std::abs(unit.shift))) << text;
      EXPECT_TRUE(read == si || !is_decimal) << text;
      exact += read == si ? 1 : 0;
      ++all;
    }
  }
  // Other units have no number for some values, and offset scales for most of the small ones.
  EXPECT_GT(exact, all * 9 / 10);
  EXPECT_LT(exact, all);
}

TEST(FormatQuantity, PrefersFewDigits) {
  EXPECT_EQ(FormatQuantity(0.0779, Dimension::kLength, "mm"), "77.9 mm");
  EXPECT_EQ(FormatQuantity(12.0 / 3600, Dimension::kFlow, "m3/h"), "12 m3/h");
  EXPECT_EQ(FormatQuantity(293.15, Dimension::kTemperature, "degC"), "20 degC");
  EXPECT_EQ(FormatQuantity(Flow("72.8 gpm"), Dimension::kFlow, "gpm"), "72.8 gpm");
  EXPECT_EQ(FormatQuantity(0.6, Dimension::kNumber, ""), "0.6");
  EXPECT_EQ(FormatQuantity(3e5, Dimension::kPressure, "bar"), "3 bar");
  EXPECT_EQ(FormatQuantity(-0.0, Dimension::kLength, "m"), "-0 m");
}

TEST(FormatQuantity, ShowsWhatIsNotFinite) {
  EXPECT_EQ(FormatQuantity(NAN, Dimension::kLength, "mm"), "nan mm");
  EXPECT_EQ(FormatQuantity(INFINITY, Dimension::kFlow, "m3/h"), "inf m3/h");
}

}  // namespace
}  // namespace handwheel
