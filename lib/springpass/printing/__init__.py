"""What goes on paper, or into one file: handouts, wall cards, class sheets, pocket cards."""
