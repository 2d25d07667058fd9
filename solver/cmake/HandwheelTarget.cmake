# Applies the project's compile rules to one of our own targets.
function(handwheel_target target)
  target_compile_features(${target} PUBLIC cxx_std_20)
  set_target_properties(${target} PROPERTIES CXX_EXTENSIONS OFF POSITION_INDEPENDENT_CODE ON)
  # -ffp-contract=off: the same input gives the same bits whatever the compiler fuses.
  target_compile_options(${target} PRIVATE -Wall -Wextra -Wconversion -Wshadow -ffp-contract=off)
  if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND CMAKE_CXX_COMPILER_VERSION VERSION_LESS 13)
    # GCC 12 sees overlapping copies in std::string's operator+ that are not there (GCC bug 105329).
    target_compile_options(${target} PRIVATE -Wno-restrict)
  endif()
  if(HANDWHEEL_WERROR)
    target_compile_options(${target} PRIVATE -Werror)
  endif()
  if(HANDWHEEL_SANITIZE)
    target_compile_options(${target} PRIVATE -fsanitize=${HANDWHEEL_SANITIZE} -fno-omit-frame-pointer
                                             -fno-sanitize-recover=all)
    target_link_options(${target} PRIVATE -fsanitize=${HANDWHEEL_SANITIZE})
  endif()
endfunction()
