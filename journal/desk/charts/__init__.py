"""The chart kit: what every chart is drawn with, on the screen and on paper."""
