"""Fit: does the plan fit the floor, the people and the cash that there are, and if not, what gives first?"""
