#include "text/suggest.h"

#include <gtest/gtest.h>

#include "text/number.h"
#include "text/utf8.h"

namespace handwheel {
namespace {

const std::vector<std::string> kKeys = {"name", "from", "to", "length", "bore", "k", "kv"};

TEST(Suggest, FindsTheNearestWord) {
  EXPECT_EQ(Suggest("boar", kKeys), " did you mean \"bore\"?");
  EXPECT_EQ(Suggest("lenght", kKeys), " did you mean \"length\"?");  // neighbours swapped
  EXPECT_EQ(Suggest("ength", kKeys), " did you mean \"length\"?");
  EXPECT_EQ(Suggest("fromm", kKeys), " did you mean \"from\"?");
  EXPECT_EQ(Suggest("NAME", kKeys), " did you mean \"name\"?");
  EXPECT_EQ(Suggest("KV", kKeys), " did you mean \"kv\"?");
}

TEST(Suggest, ListsFewWordsWhenNoneIsNear) {
  EXPECT_EQ(Suggest("opening", {"swing", "lift", "ball"}),
            " expected \"swing\", \"lift\" or \"ball\".");
  EXPECT_EQ(Suggest("x", {"swing"}), " expected \"swing\".");
  EXPECT_EQ(Suggest("x", {}), " there is none.");
}

TEST(Suggest, CountsManyWords) {
  std::vector<std::string> words;
  for (int i = 0; i < 340; ++i) words.push_back("L-" + std::to_string(i));
  EXPECT_EQ(Suggest("boiler", words), " none of the 340 known is near it.");
  EXPECT_EQ(Suggest("L_17", words), " did you mean \"L-17\"?");
}

TEST(Suggest, IsQuickAndSilentOnVeryLongWords) {
  const std::string word(1 << 20, 'x');
  EXPECT_EQ(Suggest(word, {"swing"}), " expected \"swing\".");
  EXPECT_EQ(Suggest("swing", {word, "swin"}), " did you mean \"swin\"?");
}

TEST(Quoted, EscapesWhatAMessageCannotHold) {
  EXPECT_EQ(Quoted("a\"b\\c\n\t\x01"), R"("a\"b\\c\n\t\x01")");
  EXPECT_EQ(Quoted("Säure"), "\"Säure\"");
  EXPECT_EQ(Quoted("S\xC3"), R"("S\xc3")");
  EXPECT_EQ(Quoted(std::string(1000, 'x')).size(), 85u);
}

TEST(Utf8, IsCheckedToTheLetter) {
  for (const char* good : {"", "abc", "Säure", "水", "𝛑", "\xED\x9F\xBF", "\xF4\x8F\xBF\xBF"}) {
    EXPECT_TRUE(IsUtf8(good)) << good;
  }
  for (const char* bad :
       {"\x80", "\xC0\x80", "\xC1\xBF", "\xE0\x80\x80", "\xED\xA0\x80", "\xF0\x80\x80\x80",
        "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xC3", "\xE6\xB0", "\xFF", "a\xC3(b"}) {
    EXPECT_FALSE(IsUtf8(bad)) << bad;
  }
  EXPECT_EQ(ValidUtf8Length("ab\xC3(c"), 2u);
  EXPECT_EQ(CharacterCount("Säure 水"), 7u);
}

TEST(ReadDecimal, TakesTheNumberOffTheFront) {
  std::string_view text = "-1.5e-3mm";
  double value = 0.0;
  EXPECT_EQ(ReadDecimal(&text, &value), DecimalResult::kOk);
  EXPECT_EQ(value, -1.5e-3);
  EXPECT_EQ(text, "mm");
}

TEST(ReadDecimal, LeavesTextWithoutANumberAlone) {
  for (const char* none : {"", "e5", ".", "-", "+.", "nan", "inf", "x"}) {
    std::string_view text = none;
    double value = 7.0;
    EXPECT_EQ(ReadDecimal(&text, &value), DecimalResult::kNone) << none;
    EXPECT_EQ(text, none);
    EXPECT_EQ(value, 7.0);
  }
}

TEST(ReadDecimal, ScalesInDecimal) {
  std::string_view text = "77.9";
  double value = 0.0;
  EXPECT_EQ(ReadDecimal(&text, &value, -3), DecimalResult::kOk);
  EXPECT_EQ(value, 0.0779);
  text = "1e99999999999999999999";
  EXPECT_EQ(ReadDecimal(&text, &value), DecimalResult::kOutOfRange);
  text = "1e300";
  EXPECT_EQ(ReadDecimal(&text, &value, 9), DecimalResult::kOutOfRange);
}

}  // namespace
}  // namespace handwheel
