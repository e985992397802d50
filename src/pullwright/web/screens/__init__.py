"""The screens: one module for each page, with the view that gathers its figures; the templates only draw them."""
