"""Service time: removing and replacing a component by the shortest sequence its precedences allow."""
