"""The English words for small numbers, for whoever says them or hears them."""

#: From zero to nineteen, and from twenty to ninety by tens.
ONES = (
    *("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"),
    *("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"),
)
TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")

#: What breaths are counted with.
TO_TEN = ONES[1:11]
