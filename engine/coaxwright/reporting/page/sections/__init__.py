"""The sections of the page, each a function from a survey of the site to markup; None where there is nothing to say."""
